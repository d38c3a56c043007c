"""What is said of a request that is refused before the site has seen it."""

from __future__ import annotations

import json

PROGRAMS = "/api/"


def answer(status: int, path: str, detail: str) -> tuple[str, bytes]:
    """Content type and body: problem details (RFC 9457) for programs, a line for people.

    Args:
        status: such as 413.
        path: what was asked for, as far as it could be read.
        detail: the server's own words, told only of what is not too large.
    """
    large = {
        413: "This is larger than anything that the site takes.",
        431: "The head of this request is larger than anything that the site takes.",
    }
    words = large.get(status, f"This request cannot be read: {detail}.")
    if path.startswith(PROGRAMS):
        return _problem(status, words)
    return "text/plain; charset=utf-8", f"{words}\n".encode()


def _problem(status: int, words: str) -> tuple[str, bytes]:
    from training.api.problems import MEDIA_TYPE, TYPES

    kind = TYPES["too_big" if status == 413 else "bad_request"]
    return MEDIA_TYPE, json.dumps({**kind.body(words), "status": status}).encode()
