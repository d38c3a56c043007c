"""The headings of a member's account in words: what it is, and the one thing to do about it.

What an idea or a residue is, says :mod:`solverworker.causes`; here stand the
kinds of slip and what is missing, and what to do about each. For the member
and for whoever reads beside them. Words are marked and translated when asked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from solverworker.causes import CAUSES, IDEAS

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


@dataclass(frozen=True, slots=True)
class Heading:
    """``name``: as in a list; ``says``: one sentence to the member; ``to_do``: one thing."""

    name: StrOrPromise
    says: StrOrPromise
    to_do: StrOrPromise


_TRACE_TWICE = _("Trace it twice, then write.")

HEADINGS: dict[str, Heading] = {
    "forgotten_rotation": Heading(
        _("a forgotten rotation"),
        _("Some of your plans fit the cube held in another way than you wrote."),
        _("Say aloud how you hold the cube before you write."),
    ),
    "wrong_direction": Heading(
        _("a turn the wrong way"),
        _("In some of your plans one turn goes the wrong way."),
        _TRACE_TWICE,
    ),
    "last_move_missing": Heading(
        _("the last move missing"),
        _("Some of your plans stop one move before the end."),
        _("Before you hand in, find all four edges at the end of your plan."),
    ),
    "move_missing": Heading(
        _("a move missing inside"),
        _("In some of your plans one move is missing in the middle."),
        _TRACE_TWICE,
    ),
    "wrong_layer": Heading(
        _("a turn of the wrong layer"),
        _("In some of your plans one turn is of the wrong layer."),
        _("Point at the layer before you write its letter."),
    ),
    "moves_swapped": Heading(
        _("two moves in the wrong order"),
        _("In some of your plans two neighbouring moves stand in the wrong order."),
        _("Write each move down as soon as you have traced it."),
    ),
    "mirrored": Heading(
        _("left and right exchanged"),
        _("Some of your plans would work in a mirror."),
        _("Put your right hand on the right side before you write."),
    ),
    "other_scramble": Heading(
        _("a plan for another scramble"),
        _("Some of your plans solve another scramble of the same set."),
        _("Look at the scramble's number before you write."),
    ),
    "not_explained": Heading(
        _("plans that do not solve, for no single reason"),
        _("Some of your plans do not end solved, and no single slip explains it."),
        _("Plan a shorter cross first: practice offers one. Then trace it twice."),
    ),
    "unsolved": Heading(
        _("plans that do not solve"),
        _("Some of your plans do not end solved."),
        _TRACE_TWICE,
    ),
    "no_plan": Heading(
        _("no plan"),
        _("For some crosses you had no plan."),
        _("Begin with crosses of two or three moves: practice offers them."),
    ),
    "out_of_time": Heading(
        _("plans out of time"),
        _("Some of your plans in sets that are timed only were late, or without a time."),
        _("Inspect with the 15 seconds at practice too, and write what you have when they end."),
    ),
    "not_handed_in": Heading(
        _("plans not handed in"),
        _("Some crosses you did not hand in, and each of these costs 8 points."),
        _("Would another time of day suit you better? Your coach will want to know."),
    ),
    "withdrawn": Heading(
        _("plans withdrawn"),
        _("Some of your plans were withdrawn."),
        _("Ask your coach why, if you do not know."),
    ),
    "undone_moves": Heading(
        CAUSES["undone_moves"].name,
        _("Some of your plans take a move back, or use two where one would do."),
        _("Write, then read it as a stranger would."),
    ),
    "spare_base_moves": Heading(
        CAUSES["spare_base_moves"].name,
        _("Some of your plans turn the bottom more than the cross needs."),
        _("Look for the gap that is already where the edge comes in."),
    ),
    "spare_top_moves": Heading(
        CAUSES["spare_top_moves"].name,
        _("Some of your plans turn the top more than the cross needs."),
        _("Look whether the edge can come in from where it lies."),
    ),
    "spare_side_moves": Heading(
        CAUSES["spare_side_moves"].name,
        _("Some of your plans turn the sides more than the cross needs."),
        _("Count the turns that each edge needs before you begin."),
    ),
    "colour_choice": Heading(
        CAUSES["colour_choice"].name,
        _("Some of your plans are for a colour when another is nearer."),
        _("Practise with two colours: count the moves of both before you choose."),
    ),
}
"""By code; the ideas are told by their own words."""

_OF_AN_IDEA = _("Some of your moves are lost where this idea would help: {name}.")
_LOOK_FOR_IT = _("Look for it before you plan, and practise it.")


def heading(code: str) -> Heading:
    """The words of a heading: a kind of slip, what is missing, a residue or an idea.

    Raises KeyError for another code.

    >>> str(heading("base_turn").to_do)
    'Look for it before you plan, and practise it.'
    """
    if code not in IDEAS:
        return replace(HEADINGS[code], name=name_of(code))
    name = gettext(IDEAS[code].name)
    return Heading(name, str(_OF_AN_IDEA).format(name=name), _LOOK_FOR_IT)


def name_of(code: str) -> str:
    """The name of a heading, as it stands in a list."""
    return gettext(CAUSES[code].name) if code in CAUSES else str(HEADINGS[code].name)
