"""A result as a picture of its own, to be sent on: geometry of a card with a few lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.template.loader import render_to_string

WIDTH, MARGIN, LINE = 720, 40, 44
TOP, WORDS_LINE, CHARACTERS = 182, 30, 62


@dataclass(frozen=True, slots=True)
class CardRow:
    """One line of the result at its height."""

    y: int
    rank: str
    member: str
    total: str


@dataclass(frozen=True, slots=True)
class CardText:
    """One line of words at its height."""

    y: int
    text: str


@dataclass(frozen=True, slots=True)
class ScoreCard:
    """What ``pictures/score_card.html`` draws."""

    width: int
    height: int
    title: str
    of: str
    total_head: str
    rows: tuple[CardRow, ...]
    words: tuple[CardText, ...]
    told: str


def score_card(
    title: str,
    of: str,
    total_head: str,
    rows: Sequence[tuple[str, str, str]],
    words: Sequence[str],
) -> ScoreCard:
    """Lay out a card; ``rows``: rank, member, total."""
    placed = tuple(CardRow(TOP + n * LINE, *row) for n, row in enumerate(rows))
    begins = TOP + len(rows) * LINE + 24
    lines = [line for one in words for line in _broken(one)]
    said = tuple(CardText(begins + n * WORDS_LINE, line) for n, line in enumerate(lines))
    told = "; ".join(f"{rank}. {member}: {total}" for rank, member, total in rows)
    return ScoreCard(
        width=WIDTH,
        height=begins + len(lines) * WORDS_LINE + MARGIN - WORDS_LINE // 2,
        title=title,
        of=of,
        total_head=total_head,
        rows=placed,
        words=said,
        told=told,
    )


def _broken(text: str) -> list[str]:
    """A sentence in lines, broken between words.

    >>> _broken("one two " * 12)[0] == ("one two " * 8)[:-5]
    True
    """
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > CHARACTERS:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def drawn(card: ScoreCard) -> str:
    """The picture as a file of its own."""
    return render_to_string("pictures/score_card.html", {"card": card})
