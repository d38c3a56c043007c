"""What is sent in place of our own styles and scripts as they stand: the same, in fewer bytes.

What a page needs together goes as one file (``settings.SENT_TOGETHER``), and what only readers of
the source need (comments, indentation) stays here. On a slow line each file costs a heading, a
question and often a connection of its own, and each comment its time.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from rcssmin import cssmin
from rjsmin import jsmin

_SMALLER = {".css": cssmin, ".js": jsmin}


@dataclass(frozen=True, slots=True)
class Content:
    """Bytes to be sent under a name, and when the newest of their sources was changed (Unix)."""

    body: bytes
    changed: float


def content_of(name: str) -> Content | None:
    """What stands for ``name``, below ``STATIC_URL``; None where a file is sent as it stands.

    Only our own styles and scripts are made smaller: what comes with a package is as its makers
    sent it, and keeps its licence. A source that was changed since is read again.

    Raises:
        FileNotFoundError: when a source that ``settings.SENT_TOGETHER`` names is not there.
    """
    kind = Path(name).suffix
    if kind not in _SMALLER:
        return None
    together = settings.SENT_TOGETHER.get(name)
    sources = tuple(found for one in together or (name,) if (found := _ours(one)))
    if together and len(sources) < len(together):
        raise FileNotFoundError(f"{name} is made of {', '.join(together)}, and one is not there.")
    if not sources:
        return None
    return _smaller(kind, sources, tuple(one.stat().st_mtime_ns for one in sources))


def _ours(name: str) -> Path | None:
    found = finders.find(name)
    if not found or not any(Path(found).is_relative_to(one) for one in settings.STATICFILES_DIRS):
        return None
    return Path(found)


@cache
def _smaller(kind: str, sources: tuple[Path, ...], changed: tuple[int, ...]) -> Content:
    texts = [one.read_text(encoding="utf-8") for one in sources]
    if kind == ".js" and len(texts) > 1:
        # Each in a block of its own: what a module names is known in that module alone.
        texts = [f"{{\n{text}\n}}" for text in texts]
    whole = "\n".join(texts)
    smaller = _SMALLER[kind](whole, keep_bang_comments=True)
    return Content(smaller.encode(), max(changed) / 1e9)
