"""Our pages' templates, read without what only their readers need."""

from __future__ import annotations

import re

from django.template import Origin
from django.template.loaders.filesystem import Loader

_INDENTATION = re.compile(r"\n[ \t]+")


class WithoutIndentation(Loader):
    """Leaves out the indentation of pages: a browser shows none of it, and the line carries it all.

    Done once for each template, never to what is put into it. Lines stay where they were, so that
    an error names the line of the source. No page of ours has an indented line where indentation
    would show, in a ``pre`` or a ``textarea`` (``tests/web/test_light.py`` looks).
    """

    def get_contents(self, origin: Origin) -> str:
        contents: str = super().get_contents(origin)
        if not str(origin.name).endswith(".html"):
            return contents
        return _INDENTATION.sub("\n", contents)
