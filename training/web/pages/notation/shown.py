"""The key to the notation laid out: every kind of move with its pictures."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from training.web.pictures.turn import TurnPicture, draw_turn


@dataclass(frozen=True, slots=True)
class KindOfMove:
    """A kind of move: what it does and costs, and a picture of each."""

    title: str
    said: str
    turns: tuple[TurnPicture, ...]


def show_kinds() -> tuple[KindOfMove, ...]:
    """All kinds of moves, the most used first."""
    faces = [letter + suffix for letter in "RLUDFB" for suffix in ("", "'", "2")]
    return (
        KindOfMove(
            _("Face turns"),
            _(
                "One face turns. Each counts 1 move. A letter alone is a quarter turn clockwise as "
                "seen from that face; ' is the other way; 2 is a half turn."
            ),
            _drawn(faces),
        ),
        KindOfMove(
            _("Two layers at once"),
            _(
                "A face and the layer beside it. Each counts 1 move. Club spelling also reads "
                "{short} for {full}."
            ).format(short="r", full="Rw"),
            _drawn([letter + "w" for letter in "RLUDFB"]),
        ),
        KindOfMove(
            _("Middle layers"),
            _(
                "Read in club spelling only. Each counts 2 moves, because two faces would do the "
                "same."
            ),
            _drawn("MES"),
        ),
        KindOfMove(
            _("Turning the whole cube"),
            _("Costs nothing: 0 moves. Always in lower case."),
            _drawn("xyz"),
        ),
    )


def _drawn(tokens: Iterable[str]) -> tuple[TurnPicture, ...]:
    return tuple(draw_turn(token) for token in tokens)
