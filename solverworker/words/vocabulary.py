"""The vocabulary: every word and phrase about plans, in one place, ready for translation.

What is said of one idea alone stands in its own file (:mod:`solverworker.causes`).

Moves stand in backticks, so that a page can set them as moves and a printed
line can leave the backticks out. Phrases that are put together say with what
in the comment above them.
"""

from __future__ import annotations

from typing import Final

from solverworker.causes import CAUSES
from solverworker.tongue import ENGLISH, Tongue
from solverworker.tongue import gettext_noop as _
from solverworker.tongue import ngettext_noop as ngettext

COLOURS: Final = {
    "white": _("white"),
    "yellow": _("yellow"),
    "green": _("green"),
    "blue": _("blue"),
    "red": _("red"),
    "orange": _("orange"),
}

AND: Final = _("{some} and {last}")
OR: Final = _("{some} or {last}")
ALSO: Final = _("{first}, and {second}")
MOVE: Final = "`{move}`"

# An edge of the cross, named by its other colour; the first time in a sentence.
EDGE: Final = _("the {colour} edge")

# What is there before the first turn.
HOME_ALREADY: Final = ngettext(
    "The {edges} edge is home already",
    "The {edges} edges are home already",
)
ONE_OFF: Final = _("The {edge} edge is at the bottom already, under {centre}")
SOME_OFF: Final = {
    1: _("The {edges} edges fit together already, a quarter turn from home"),
    2: _("The {edges} edges fit together already, half a turn from home"),
    3: _("The {edges} edges fit together already, a quarter turn from home"),
}
ALL_OFF: Final = _("All four edges fit together already, away from their centres")
BOTH_OFF_ACROSS: Final = _("The {edges} edges already lie across from each other, as they should")

# What a turn does to one edge; the turn is the subject. {ready} is one of the READY.
BRINGS_HOME: Final = _("brings {edge} down to its own centre")
DROPS_HOME: Final = _("takes {edge} from the top straight down to its own centre")
GOES_IN_FIRST: Final = _("puts {edge} in under {centre}, not yet its own centre")
GOES_IN_NEXT_TO: Final = _("puts {edge} in under {centre}, next to {other}")
GOES_IN_ACROSS: Final = _("puts {edge} in under {centre}, across from {other}")
GOES_IN_FOR_NOW: Final = _("sets {edge} down under {centre} for the moment")
TO_MIDDLE: Final = _("brings {edge} into the middle between {one} and {other}{ready}")
TO_TOP: Final = _("takes {edge} up above {centre}{ready}")
ROUND_TOP: Final = _("carries {edge} round to above {centre}{ready}")
TO_BOTTOM_FLIPPED: Final = _("takes {edge} under {centre}, the wrong way round{ready}")
ROUND_BOTTOM_FLIPPED: Final = _(
    "carries {edge}, still the wrong way round, to under {centre}{ready}"
)
ROUND_BOTTOM_HOME: Final = _("carries {edge} round to its own centre")
ROUND_BOTTOM: Final = _("carries {edge} round to under {centre}{ready}")
ROUND_TOP_SOME: Final = _("carries the {edges} edges round the top, ready for {moves}")
ROUND_BOTTOM_SOME: Final = _("carries the {edges} edges round the bottom, ready for {moves}")
LIFTS_OUT: Final = _("lifts {edge} out of the bottom for a moment")
PUTS_BACK: Final = _("puts {edge} back")
READY: Final = _(", ready for {move}")
NOT_READY: Final = ""
WAITS: Final = ngettext(
    "The {edges} edge now lies ready for {moves}",
    "The {edges} edges now lie ready for {moves}",
)

# Whole turns.
DOES: Final = _("{move} {does}")
AMOUNT: Final = {1: _("a quarter turn"), 2: _("half a turn")}
BASE_GAP: Final = _("{move} turns the bottom until the gap for {edge} lies under {centre}")
BASE_HOME: Final = ngettext(
    "{move} turns the bottom: the {edges} edge comes home, and so does the gap for {edge}",
    "{move} turns the bottom: the {edges} edges come home, and so does the gap for {edge}",
)
BASE_ALL_HOME: Final = _("{move} gives the bottom {amount}, and all four edges come home together")
BASE_SOME: Final = _("{move} turns the bottom with {edges} in it")
ALSO_CARRIES: Final = _("{turn}; it also {does}")

DONE: Final = _("The cross is done")

# A lost move. What was lost …
LOST: Final = ngettext(
    "Move {place}, {move}, loses one move",
    "Move {place}, {move}, loses {number} moves",
)
TAKES_BACK: Final = _("{move}, move {place}, takes back move {other_place}, {other}")
TAKEN_BACK: Final = _("{move}, move {place}, is taken back by move {other_place}, {other}")
JOINED: Final = _("Moves {place} and {other_place}, {move} and {other}, could be one move")
AGAIN_START: Final = _("After move {later} the cross is back where it began")
AGAIN_AFTER: Final = _("After move {later} the cross is as it was after move {earlier}")
# … what the position called for …
CALLED_FOR: Final = _("Every shortest way from there uses {ideas}, and the plan does not")
NEAREST_USES: Final = _("The shortest way most like the plan uses {ideas}, and the plan does not")
SAME_IDEAS: Final = _("No other idea was needed; the plan goes on with {more} too many")
SAME_LENGTH: Final = _("No other idea was needed, only a shorter way round")
AN_IDEA: Final = _("a {name}")
MORE_BASE: Final = ngettext("one turn of the bottom", "{number} turns of the bottom")
MORE_TOP: Final = ngettext("one turn of the top", "{number} turns of the top")
MORE_SIDE: Final = ngettext("one turn of a side", "{number} turns of the sides")
# … and what to do instead.
INSTEAD: Final = _("From there {way} is enough.")

# Not solved.
SHORT: Final = ngettext("One move short", "{number} moves short")
FINISH: Final = _("{way} would finish it")
HOME_COUNT: Final = ngettext(
    "One of the four {colour} edges is home",
    "{number} of the four {colour} edges are home",
)
NONE_HOME: Final = _("None of the four {colour} edges is home")
RELATIVE_BESIDE: Final = _("{number} more fit together at the bottom, away from their centres")
RELATIVE_ALONE: Final = _("{number} of them fit together at the bottom, away from their centres")
HINT_CHANGE: Final = _("With {instead} in place of {was} as move {place} it would be solved")
HINT_SWAP: Final = _("With moves {place} and {other_place} swapped it would be solved")
HINT_DROP: Final = _("Without move {place}, {was}, it would be solved")
HINT_ADD: Final = _("With {instead} put in before move {place} it would be solved")
HINT_CHANGE_ROTATION: Final = _(
    "With {instead} in place of {was} before move {place} it would be solved"
)
HINT_SWAP_ROTATION: Final = _("With {instead} in place of {was} it would be solved")
HINT_DROP_ROTATION: Final = _("Without {was} before move {place} it would be solved")
HINT_MIRRORED: Final = _("In a mirror it works: its image, {plan}, solves it")
HINT_HELD: Final = _("Held with {top} on top and {front} in front to begin with, the plan works")
HINT_OTHER: Final = _("The plan solves scramble {number} of this set")

# Handling.
ENDS_ON: Final = {
    "bottom": _("The cross ends at the bottom, so the eyes are free for the first pair"),
    "top": _("The cross ends on top: the cube has to be turned over before the first pair"),
    "side": _("The cross ends at the side: the cube has to be turned before the first pair"),
}
ROTATIONS_AFTER: Final = ngettext(
    "The cube is turned in the hands once after the first move",
    "The cube is turned in the hands {number} times after the first move",
)
BACK_TURNS: Final = ngettext("One move turns the back", "{number} moves turn the back")


def name_of(code: str, tongue: Tongue = ENGLISH) -> str:
    """Return the name of a technique or another cause of lost moves.

    >>> name_of("flipped_insert")
    'flipped-edge insert'
    """
    cause = CAUSES.get(code)
    return tongue.gettext(cause.name) if cause else code.replace("_", " ")
