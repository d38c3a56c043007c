"""What a lesson on a habit says: what it is, and what to do with the group about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from solverworker.causes import CAUSES
from training.web.saying.ideas import idea_meaning

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


@dataclass(frozen=True, slots=True)
class HabitTaught:
    """``meaning``: what it is, empty where the list of causes says it; ``exercise``: in a hall."""

    meaning: StrOrPromise
    exercise: StrOrPromise


_IN_PAIRS = _(
    "In pairs: one reads the plan aloud, the other turns the cube. "
    "Where it does not end solved, they look for the turn together."
)

_TAUGHT = {
    "forgotten_rotation": HabitTaught(
        _("The plan would solve the cube held another way: a rotation was made and not written."),
        _("Everybody says aloud which colour is on top and which in front, then writes."),
    ),
    "wrong_direction": HabitTaught(
        _("With one turn taken another way round, the plan would solve."),
        _IN_PAIRS,
    ),
    "last_move_missing": HabitTaught(
        _("With one more move at its end, the plan would solve."),
        _("Before handing in, everybody points at the places where the four edges are then."),
    ),
    "move_missing": HabitTaught(
        _("With one more move inside it, the plan would solve."), _IN_PAIRS
    ),
    "wrong_layer": HabitTaught(
        _("With one turn of another layer, the plan would solve."),
        _("Point at the layer, turn it in the air, then write its letter."),
    ),
    "moves_swapped": HabitTaught(
        _("With two neighbouring moves in the other order, the plan would solve."),
        _("Write each move as soon as it is traced, and look at the cube again after it."),
    ),
    "mirrored": HabitTaught(
        _("With left and right exchanged, the plan would solve."),
        _("Everybody lifts the right hand, then says which colour is on that side."),
    ),
    "other_scramble": HabitTaught(
        _("The plan solves another scramble of the same set."),
        _("Say the scramble’s number aloud, and say it again before writing."),
    ),
    "not_explained": HabitTaught(
        _("The plan does not end solved, and no single slip explains why."),
        _("Shorter crosses first: three moves, then four, until eight of ten are solved."),
    ),
    "undone_moves": HabitTaught(
        "", _("Swap plans in pairs: strike out whatever a later move takes back.")
    ),
    "colour_choice": HabitTaught(
        "",
        _(
            "Allow two colours for a week in Settings. For each cross, "
            "count the moves of both aloud, then choose."
        ),
    ),
}


def habit_meaning(code: str) -> str:
    """What a habit is. Raises KeyError for what is none.

    >>> habit_meaning("mirrored")
    'With left and right exchanged, the plan would solve.'
    """
    return idea_meaning(code) if code in CAUSES else str(_TAUGHT[code].meaning)


def habit_exercise(code: str) -> str:
    """What to do with the group about it. Raises KeyError for what is none."""
    return str(_TAUGHT[code].exercise)
