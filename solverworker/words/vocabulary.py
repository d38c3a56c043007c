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
IT_ALSO: Final = _("It also {does}")
MOVE: Final = "`{move}`"

# An edge of the cross, named by its other colour; the first time in a sentence.
EDGE: Final = _("the {colour} edge")

# How the cube is held first: as the way is written, or for the story's sake.
HOLD: Final = _("{move} first: then {colour} is at the bottom and {front} in front")
HOLD_TO_TELL: Final = _(
    "Told with the cube turned by {move}: {colour} at the bottom and {front} in front"
)

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
GOES_IN_BRIEF: Final = _("puts {edge} in under {centre}")
GOES_IN_FOR_NOW: Final = _("sets {edge} down under {centre} for the moment")
TO_MIDDLE: Final = _("brings {edge} into the middle between {one} and {other}{ready}")
TO_MIDDLE_BRIEF: Final = _("brings {edge} into the middle{ready}")
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
LIFTS_OUT_BRIEF: Final = _("lifts {edge} out")
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
ALSO_CARRIES: Final = _("{first}; it also {second}")

DONE: Final = _("The cross is done")

# The same with the cross held on top.
ON_TOP: Final = {
    HOLD: _("{move} first: then {colour} is on top and {front} in front"),
    ONE_OFF: _("The {edge} edge is on top already, above {centre}"),
    BRINGS_HOME: _("brings {edge} up to its own centre"),
    DROPS_HOME: _("takes {edge} from the bottom straight up to its own centre"),
    GOES_IN_FIRST: _("puts {edge} in above {centre}, not yet its own centre"),
    GOES_IN_NEXT_TO: _("puts {edge} in above {centre}, next to {other}"),
    GOES_IN_ACROSS: _("puts {edge} in above {centre}, across from {other}"),
    GOES_IN_BRIEF: _("puts {edge} in above {centre}"),
    GOES_IN_FOR_NOW: _("sets {edge} above {centre} for the moment"),
    TO_TOP: _("takes {edge} down under {centre}{ready}"),
    ROUND_TOP: _("carries {edge} round to under {centre}{ready}"),
    TO_BOTTOM_FLIPPED: _("takes {edge} above {centre}, the wrong way round{ready}"),
    ROUND_BOTTOM_FLIPPED: _("carries {edge}, still the wrong way round, to above {centre}{ready}"),
    ROUND_BOTTOM: _("carries {edge} round to above {centre}{ready}"),
    ROUND_TOP_SOME: _("carries the {edges} edges round the bottom, ready for {moves}"),
    ROUND_BOTTOM_SOME: _("carries the {edges} edges round the top, ready for {moves}"),
    LIFTS_OUT: _("takes {edge} out of the top for a moment"),
    LIFTS_OUT_BRIEF: _("takes {edge} out"),
    BASE_GAP: _("{move} turns the top until the gap for {edge} lies above {centre}"),
    BASE_ALL_HOME: _("{move} gives the top {amount}, and all four edges come home together"),
    BASE_SOME: _("{move} turns the top with {edges} in it"),
}
COUNTED_ON_TOP: Final = {
    BASE_HOME: ngettext(
        "{move} turns the top: the {edges} edge comes home, and so does the gap for {edge}",
        "{move} turns the top: the {edges} edges come home, and so does the gap for {edge}",
    ),
}

# A lost move. What was lost …
LOST: Final = ngettext(
    "Move {place}, {move}, loses one move",
    "Move {place}, {move}, loses {number} moves",
)
LOST_SLICE: Final = ngettext(
    "Move {place}, {move}, turns {layers} and loses one move",
    "Move {place}, {move}, turns {layers} and loses {number} moves",
)
BECAUSE: Final = _("{lost}: {why}")
TAKES_BACK: Final = _("it takes back move {other_place}, {other}")
TAKEN_BACK: Final = _("move {other_place}, {other}, takes it back")
JOINED: Final = _("it and move {other_place}, {other}, could be one move")
ALL_TAKE_BACK: Final = _("the turns of that layer take each other back")
ALL_JOINED: Final = _("the turns of that layer could be one move")
PART_JOINED: Final = _("part of it and part of move {other_place}, {other}, could be one move")
PART_TAKES_BACK: Final = _("part of it takes back part of move {other_place}, {other}")
PART_TAKEN_BACK: Final = _("part of move {other_place}, {other}, takes back part of it")
IDLE: Final = _("it changes nothing of the cross")
AGAIN_START: Final = _("after move {later} the cross is back where it began")
AGAIN_AFTER: Final = _("after move {later} the cross is as it was after move {earlier}")
# … what the position called for …
CALLED_FOR: Final = _(
    "Every shortest way from there uses {ideas}, and the plan from there does not"
)
NEAREST_USES: Final = _(
    "The shortest way most like the plan uses {ideas}, and the plan from there does not"
)
SAME_IDEAS: Final = _("No other idea was needed; from there the plan makes {more} too many")
SAME_LENGTH: Final = _("No other idea was needed, only a shorter way round")
AN_IDEA: Final = _("a {name}")
MORE_BASE: Final = ngettext("one turn of the bottom", "{number} turns of the bottom")
MORE_TOP: Final = ngettext("one turn of the top", "{number} turns of the top")
MORE_OWN: Final = ngettext("one turn of the cross’s layer", "{number} turns of the cross’s layer")
MORE_ACROSS: Final = ngettext(
    "one turn across from the cross", "{number} turns across from the cross"
)
MORE_SIDE: Final = ngettext("one turn of a side", "{number} turns of the sides")
# Which of these are said, by where the cross is held: its own layer, the one across, the sides.
MORE: Final = {
    "bottom": [MORE_BASE, MORE_TOP, MORE_SIDE],
    "top": [MORE_TOP, MORE_BASE, MORE_SIDE],
    "side": [MORE_OWN, MORE_ACROSS, MORE_SIDE],
}
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
# By where the cross colour's centre is held at the end of the plan.
RELATIVE_BESIDE: Final = {
    "bottom": _("{number} more fit together at the bottom, away from their centres"),
    "top": _("{number} more fit together on top, away from their centres"),
    "side": _("{number} more fit together at the side, away from their centres"),
}
RELATIVE_ALONE: Final = {
    "bottom": _("{number} of them fit together at the bottom, away from their centres"),
    "top": _("{number} of them fit together on top, away from their centres"),
    "side": _("{number} of them fit together at the side, away from their centres"),
}
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
