"""What was enough instead of the moves that lost something, and the plan with a rotation first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from solverworker.atlas import atlas
from solverworker.cube.holds import follow_scramble, walk
from solverworker.cube.moments import normal_form
from solverworker.cube.notation import parse
from training.second_look import rows_of
from training.web.parts.ways import StoryLine, Way, ledger_of, make_way
from training.web.saying.second_looks import Forgotten
from training.web.saying.steps import say_step
from training.web.saying.stories import LostMoveTold, set_as_moves


@dataclass(frozen=True, slots=True)
class LostShown:
    """A lost move with what was enough instead, to step through."""

    told: LostMoveTold
    way: Way


def ways_instead(
    scramble: str, told: Sequence[LostMoveTold], listed: int, here: Sequence[int]
) -> tuple[LostShown, ...]:
    """What was enough instead of each lost move, numbered behind the ``listed`` solutions.

    ``here``: by number, the step at which the cube stands on a way. What an earlier loss told
    already is not told again.
    """
    found: list[LostShown] = []
    told_at: dict[object, int] = {}
    for number, lost in enumerate(told, start=listed + 1):
        named = _("Instead of move {number}").format(number=lost.number)
        moves = len(lost.way.split())
        way = make_way(
            scramble,
            lost.way,
            ledger_of(lost.way, moves),
            number=number,
            name=named,
            named=f"{named}.",
            colour=lost.colour,
            start=moves,
            here=here[number],
            before=lost.before,
            story=lost.story,
            told_at=told_at.get(_same(scramble, lost), 0),
        )
        told_at.setdefault(_same(scramble, lost), number)
        found.append(LostShown(lost, way))
    return tuple(found)


def _same(scramble: str, lost: LostMoveTold) -> object:
    """What two ways have in common whose words say the same: hold, turns and cross."""
    hold = walk(parse(lost.before), follow_scramble(scramble).hold).hold
    return lost.colour, hold, tuple(normal_form(walk(parse(lost.way), hold).turns))


def way_turned_first(
    scramble: str, forgotten: Forgotten | None, *, number: int, here: int
) -> Way | None:
    """A plan with the rotation that explains it, to step through.

    None where there is none, and where a plan over the best cannot be told move by move because
    no worker has made the atlas yet.
    """
    if forgotten is None:
        return None
    known = atlas()
    if known is not None:
        rows = rows_of(known, scramble, forgotten.plan, forgotten.colour)
    elif forgotten.exact:
        rows = ledger_of(forgotten.plan, forgotten.moves)
    else:
        return None
    way = make_way(
        scramble,
        forgotten.plan,
        rows,
        number=number,
        name=forgotten.title,
        named="",
        colour=forgotten.colour,
        start=rows[0].distance + rows[0].moves - rows[0].loss,
        here=here,
    )
    words = enumerate((set_as_moves(say_step(row)) for row in rows), start=1)
    return replace(way, story=tuple(StoryLine(step, said, step == here) for step, said in words))
