"""Lines of moves through a cube, each with its stops, its words and its track."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.net import net_steps
from solverworker.cube.notation import parse
from solverworker.report import LedgerRow
from training.web.parts.drawn import Track, track
from training.web.pictures.net import net_code
from training.web.saying.spoken import say_token
from training.web.saying.steps import say_after


@dataclass(frozen=True, slots=True)
class Stop:
    """One token to tap. ``spoken``: as it is read aloud; ``said`` tells where the cube stands
    after it."""

    step: int
    token: str
    spoken: str
    href: str
    here: bool
    said: str


@dataclass(frozen=True, slots=True)
class StoryLine:
    """What is told of a way once the cube stands at a step; ``here``: it does."""

    step: int
    text: SafeString
    here: bool


@dataclass(frozen=True, slots=True)
class Way:
    """A line of moves through the cube: the plan (number 0), a shortest solution, what was
    enough instead of a lost move.

    ``story``: it in words, a text a turn; ``own``: it is the plan itself. ``told_at``: the
    number of the way in whose words it is told already, 0 for none; ``opened``: its words are
    open from the start.
    """

    number: int
    name: str
    text: str
    stops: tuple[Stop, ...]
    track: Track
    nets: str
    story: tuple[StoryLine, ...] = ()
    own: bool = False
    told_at: int = 0
    opened: bool = False

    def sentence(self, step: int) -> SafeString:
        """What its story tells of a step; nothing where it tells nothing."""
        return SafeString(" ".join(line.text for line in self.story if line.step == step))


def make_way(
    scramble: str,
    text: str,
    ledger: Sequence[LedgerRow],
    *,
    number: int,
    name: str,
    named: str,
    colour: str,
    start: int,
    here: int,
    before: str = "",
    story: Sequence[SafeString] = (),
    own: bool = False,
    told_at: int = 0,
    opened: bool = False,
) -> Way:
    """Lay out a line of moves. ``before``: moves made before it; ``start``: how many it needs.

    ``here``: the step at which the cube stands, -1 when it stands on another way; ``named``:
    what is said before where it stands.
    """
    nets = net_steps(scramble, f"{before} {text}")[len(parse(before)) :]
    return Way(
        number=number,
        name=name,
        text=text,
        stops=_stops(number, named, ledger, start, here),
        track=track(scramble, text, colour, after=before),
        nets=" ".join(net_code(faces) for faces in nets),
        story=lines_of(text, story, here),
        own=own,
        told_at=told_at,
        opened=opened,
    )


def ledger_of(text: str, best: int) -> tuple[LedgerRow, ...]:
    """The ledger of a shortest solution: every move of it brings the cross one nearer."""
    rows: list[LedgerRow] = []
    left = best
    for token in parse(text):
        left -= token.moves
        rows.append(LedgerRow(str(token), token.moves, left, 0))
    return tuple(rows)


def lines_of(text: str, story: Sequence[SafeString], here: int) -> tuple[StoryLine, ...]:
    """The texts of a story at the steps of which they tell: one a turn, what is before at 0."""
    if not story:
        return ()
    turns = [step for step, token in enumerate(parse(text), start=1) if token.moves]
    steps = [0] * (len(story) - len(turns)) + turns
    return tuple(
        StoryLine(step, line, step == here) for step, line in zip(steps, story, strict=True)
    )


def _stops(
    number: int, named: str, ledger: Sequence[LedgerRow], start: int, here: int
) -> tuple[Stop, ...]:
    prefix = "?step=" if number == 0 else f"?way={number}&step="
    stops = [("", start), *((row.token, row.distance) for row in ledger)]
    return tuple(
        Stop(
            step=step,
            token=token,
            spoken=say_token(token),
            href=f"{prefix}{step}#cube",
            here=step == here,
            said=f"{named} {say_after(token, distance)}".strip(),
        )
        for step, (token, distance) in enumerate(stops)
    )


def say_shortest(number: int) -> str:
    """The name of a shortest solution."""
    return _("Shortest way {number}").format(number=number)
