"""The key laid out: every kind of move with its pictures, and the words of this site."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from solverworker.causes import IDEAS
from training.web.pictures.turn import TurnPicture, draw_turn
from training.web.saying.ideas import IdeaTold, ideas_told


@dataclass(frozen=True, slots=True)
class KindOfMove:
    """A kind of move: what it does and costs, and a picture of each."""

    title: str
    said: str
    turns: tuple[TurnPicture, ...]


@dataclass(frozen=True, slots=True)
class WordTold:
    """A word that pages of this site use, and what it means."""

    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class KeyShown:
    """What ``pages/notation/notation.html`` needs."""

    kinds: tuple[KindOfMove, ...]
    words: tuple[WordTold, ...]
    ideas: tuple[IdeaTold, ...]


def show_key() -> KeyShown:
    """Lay out the whole key, in the reader's language."""
    return KeyShown(kinds=_kinds(), words=_words(), ideas=ideas_told(IDEAS))


def _kinds() -> tuple[KindOfMove, ...]:
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


def _words() -> tuple[WordTold, ...]:
    return (
        WordTold(
            _("best"),
            _("The fewest moves that solve the cross, in any of the colours that the set allows."),
        ),
        WordTold(
            _("over the best"),
            _(
                "How many moves a plan has more than the best. A plan with none over is exactly "
                "the best."
            ),
        ),
        WordTold(
            _("lost move"),
            _(
                "A move after which the cross is no nearer, or is further away. A middle layer "
                "counts 2 moves, so one that brings the cross only one step nearer loses a move."
            ),
        ),
        WordTold(_("move by move"), _("The plan with what each of its moves did and lost.")),
        WordTold(
            _("shortest solution"),
            _("A way to solve the cross in as many moves as the best. All of them are found."),
        ),
        WordTold(
            _("idea"),
            _("A way of building the cross that saves moves. Each has a name, explained below."),
        ),
        WordTold(
            _("called for, answered"),
            _(
                "A position calls for an idea when every shortest way on from it uses the idea. A "
                "plan answers it when the rest of the plan uses it too."
            ),
        ),
        WordTold(
            _("random set"),
            _(
                "A set whose scrambles are drawn by chance alone, whatever their cross. The tables "
                "of a day, a week and all time count random sets alone."
            ),
        ),
        WordTold(
            _("picked set"),
            _(
                "A set for a lesson or for practice, of crosses that call for an idea. It never "
                "counts in the tables with random sets."
            ),
        ),
        WordTold(
            _("club spelling, strict spelling"),
            _(
                "Strict spelling is WCA Article 12 alone. Club spelling also reads r for Rw, M, E "
                "and S, R3, brackets, and moves run together."
            ),
        ),
        WordTold(_("sealed"), _("Not open to you yet. Beside it stands when it opens.")),
    )
