"""The vocabulary: every word and phrase about plans, in one place, ready for translation.

Moves stand in backticks, so that a page can set them as moves and a printed
line can leave the backticks out. Phrases that are put together say with what
in the comment above them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from solverworker.words.tongue import ENGLISH, Tongue
from solverworker.words.tongue import gettext_noop as _


@dataclass(frozen=True, slots=True)
class Entry:
    """A technique or another cause of lost moves, for people.

    ``name``: as in "a base turn"; ``meaning``: what it is, in words a child
    understands; ``example``: one sentence in which it happens.
    """

    name: str
    meaning: str
    example: str


ENTRIES: Final[dict[str, Entry]] = {
    "relative_build": Entry(
        _("relative build"),
        _(
            "Edges go in so that they fit together, although none is at its "
            "own centre. One turn of the bottom then takes them all home together."
        ),
        _("Green and blue go in across from each other, and the last turn brings both home."),
    ),
    "base_turn": Entry(
        _("base turn"),
        _("The bottom turns until the gap comes to the edge, instead of the edge to the gap."),
        _("Red waits above green, so the bottom turns until the gap for red lies under green."),
    ),
    "shared_turn": Entry(
        _("shared turn"),
        _("One turn helps two edges at once."),
        _("The turn that brings green down lifts orange into the middle as well."),
    ),
    "flipped_insert": Entry(
        _("flipped-edge insert"),
        _(
            "A finished edge is lifted out, an edge that lay the wrong way round slips in beside "
            "it, and the first one comes back."
        ),
        _("Red goes up, blue slips in from the side, and red comes down again."),
    ),
    "step_aside": Entry(
        _("step aside"),
        _("A finished edge leaves the bottom for a moment to let something through, and returns."),
        _("Green is lifted out, the bottom turns freely, and green goes back."),
    ),
    "undone_moves": Entry(
        _("undone moves"),
        _("A move is taken back later, or two moves do the work of one."),
        _("R and then R again is R2, one move instead of two."),
    ),
    "spare_base_moves": Entry(
        _("spare turns of the bottom"),
        _("The ideas were right, with a turn of the bottom more than they need."),
        _("The bottom goes forth and back, where it could have stayed."),
    ),
    "spare_top_moves": Entry(
        _("spare turns of the top"),
        _("The ideas were right, with a turn of the top more than they need."),
        _("The top brings an edge round that could have gone in where it was."),
    ),
    "spare_side_moves": Entry(
        _("spare turns of the sides"),
        _("The ideas were right, with a turn of a side more than they need."),
        _("An edge takes two turns where one would have done."),
    ),
    "colour_choice": Entry(
        _("choice of colour"),
        _("Another colour that was allowed was nearer."),
        _("White needs six moves and yellow five, and the plan is for white."),
    ),
}
"""Words for each code of a blame."""

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
HOME_ALREADY: Final = (
    _("The {edges} edge is home already"),
    _("The {edges} edges are home already"),
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
GOES_IN_FIRST: Final = _("puts {edge} in under {centre}, not its own centre yet")
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
WAITS: Final = (
    _("The {edges} edge now lies ready for {moves}"),
    _("The {edges} edges now lie ready for {moves}"),
)

# Whole turns.
DOES: Final = _("{move} {does}")
SHARED: Final = _("{move} is a shared turn: it {does}")
SHARED_AGAIN: Final = _("{move} works for two edges again: it {does}")
AMOUNT: Final = {1: _("a quarter turn"), 2: _("half a turn")}
BASE_GAP: Final = _("{move} turns the bottom until the gap for {edge} lies under {centre}")
BASE_HOME: Final = (
    _("{move} turns the bottom: the {edges} edge comes home, and so does the gap for {edge}"),
    _("{move} turns the bottom: the {edges} edges come home, and so does the gap for {edge}"),
)
BASE_ALL_HOME: Final = _("{move} gives the bottom {amount}, and all four edges come home together")
BASE_SOME: Final = _("{move} turns the bottom with {edges} in it")
ALSO_CARRIES: Final = _("{turn}; it also {does}")

# Techniques by name, where they happen: the first time in a story, and later.
THAT_IS_BASE_TURN: Final = _("That is a base turn: the gap comes to the edge")
AGAIN_BASE_TURN: Final = _("Once more a base turn")
THAT_IS_BUILD_NEXT: Final = _(
    "That is a relative build: the two belong side by side, only not here yet"
)
THAT_IS_BUILD_ACROSS: Final = _(
    "That is a relative build: the two belong across from each other, only not here yet"
)
THAT_IS_BUILD: Final = _("That is a relative build: they fit together, only not here yet")
INSERT_BEGINS: Final = _("A flipped-edge insert begins: now there is room")
INSERT_ENDS: Final = _("That completes the flipped-edge insert")
DONE: Final = _("The cross is done")
ASIDE_BEGINS: Final = _("With this step aside {edge} only makes room: it comes back with {move}")

# A lost move. What was lost …
LOST: Final = (
    _("Move {place}, {move}, loses one move"),
    _("Move {place}, {move}, loses {number} moves"),
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
MORE_BASE: Final = (_("one turn of the bottom"), _("{number} turns of the bottom"))
MORE_TOP: Final = (_("one turn of the top"), _("{number} turns of the top"))
MORE_SIDE: Final = (_("one turn of a side"), _("{number} turns of the sides"))
# … and what to do instead.
INSTEAD: Final = _("From there {way} is enough.")

# Not solved.
SHORT: Final = (_("One move short"), _("{number} moves short"))
FINISH: Final = _("{way} would finish it")
HOME_COUNT: Final = (
    _("One of the four {colour} edges is home"),
    _("{number} of the four {colour} edges are home"),
)
NONE_HOME: Final = _("None of the four {colour} edges is home")
RELATIVE_BESIDE: Final = _("{number} more fit together at the bottom, away from their centres")
RELATIVE_ALONE: Final = _("{number} of them fit together at the bottom, away from their centres")
HINT_CHANGE: Final = _("With {instead} in place of {was} as move {place} it would be solved")
HINT_SWAP: Final = _("With moves {place} and {other_place} the other way about it would be solved")
HINT_DROP: Final = _("Without move {place}, {was}, it would be solved")
HINT_ADD: Final = _("With {instead} put in before move {place} it would be solved")
HINT_HELD: Final = _("Held with {top} on top and {front} in front to begin with, the plan works")
HINT_OTHER: Final = _("The plan solves scramble {number} of this set")

# Handling.
ENDS_ON: Final = {
    "bottom": _("The cross ends at the bottom, so the eyes are free for the first pair"),
    "top": _("The cross ends on top: the cube has to be turned over before the first pair"),
    "side": _("The cross ends at the side: the cube has to be turned before the first pair"),
}
ROTATIONS_AFTER: Final = (
    _("The cube is turned in the hands once after the first move"),
    _("The cube is turned in the hands {number} times after the first move"),
)
BACK_TURNS: Final = (_("One move turns the back"), _("{number} moves turn the back"))


def name_of(code: str, tongue: Tongue = ENGLISH) -> str:
    """Return the name of a technique or another cause of lost moves.

    >>> name_of("flipped_insert")
    'flipped-edge insert'
    """
    entry = ENTRIES.get(code)
    return tongue.gettext(entry.name) if entry else code.replace("_", " ")
