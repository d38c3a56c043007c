"""What is sent in place of our own styles and scripts as they stand: the same, in fewer bytes.

What a page needs together goes as one file (``settings.SENT_TOGETHER``), and what only readers of
the source need (comments, indentation) stays here. On a slow line each file costs a heading, a
question and often a connection of its own, and each comment its time.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import tinycss2
from django.conf import settings
from django.contrib.staticfiles import finders
from rjsmin import jsmin


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
    if kind not in (".css", ".js"):
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
    smaller = _sheet(whole) if kind == ".css" else jsmin(whole, keep_bang_comments=True)
    return Content(smaller.encode(), max(changed) / 1e9)


def _sheet(whole: str) -> str:
    tokens = tinycss2.parse_component_value_list(whole, skip_comments=True)
    return str(tinycss2.serialize(_close_together(tokens)))


def _close_together(tokens: list[Any]) -> list[Any]:
    """Without the white space that means nothing, down through every block (CSS Syntax Level 3).

    Before a colon it means *within*, round a plus in a sum it must stand, between two values it
    parts them: it goes only at the ends of a block and beside what parts by itself.
    """
    kept: list[Any] = []
    following = [*tokens[1:], None]
    for token, after in zip(tokens, following, strict=True):
        before = kept[-1] if kept else None
        if token.type != "whitespace":
            inner = token.arguments if token.type == "function" else getattr(token, "content", None)
            if inner is not None:
                inner[:] = _close_together(inner)
                if token.type == "{} block" and inner and inner[-1] == ";":
                    inner.pop()
            kept.append(token)
        elif not (_parts(before) or _parts(after) or before == ":"):
            token.value = " "
            kept.append(token)
    return kept


def _parts(token: Any) -> bool:
    return token is None or token.type == "{} block" or token in (";", ",", ">", "~")
