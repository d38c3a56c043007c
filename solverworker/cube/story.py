"""What a sequence of turns does to the four edges: events, not yet words.

Everything is told by colours: an edge by the colour that it has beside the
cross colour, a place by the centres that it lies at. Layers are counted from
the cross: its own is the base, the one across from it the top; ``Story.held``
says where the base is in the hands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

from solverworker.cube.colours import CENTRE_OF_COLOUR, COLOUR_OF_FACE
from solverworker.cube.cross import SOLVED, CrossState, in_base, need, offset, turned
from solverworker.cube.holds import BOTTOMS, HOLDS, RELABEL, follow_scramble, walk
from solverworker.cube.notation import parse
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import FACES, TURN_NAMES
from solverworker.report import COLOURS, TechniqueTurns

Layer = Literal["top", "middle", "bottom"]
Side = Literal["base", "top", "side"]

NOT_A_WAY: Final = "A story is told of face turns that solve the cross."

_LAYER: Final[dict[str, Layer]] = {"U": "top", "D": "bottom"}


@dataclass(frozen=True, slots=True)
class EdgePlace:
    """Where an edge lies. ``centres``: colours of the side centres at it (one, or two in the
    middle); ``turned``: the cross colour faces a side there instead of up or down (never told
    of the middle layer)."""

    layer: Layer
    centres: tuple[str, ...]
    turned: bool

    @property
    def in_base(self) -> bool:
        """Whether an edge here is at the bottom, the cross colour down."""
        return self.layer == "bottom" and not self.turned


@dataclass(frozen=True, slots=True)
class Moved:
    """What one turn did to one edge.

    ``edge``: its colour; ``nearer``: needs a turn less to get into the base;
    ``settles``: goes into the base and leaves it no more; ``leaves``,
    ``returns``: goes out of the base, comes back into it by that face's next turn.
    """

    edge: str
    start: EdgePlace
    end: EdgePlace
    nearer: bool
    settles: bool
    leaves: bool
    returns: bool

    @property
    def home(self) -> bool:
        """Whether it is at its own centre now."""
        return self.end.in_base and self.end.centres == (self.edge,)


@dataclass(frozen=True, slots=True)
class Beat:
    """One turn of a story.

    ``token``: as written; ``moved``: the edges that it moved; ``ideas``: the
    techniques that happen in it; ``before``: edges settled before its moment,
    ``after``: settled once it is done, in the order in which they settled;
    ``quarters``: how far round from their centres the settled edges are then;
    ``next``: the next edge to settle after it, and the centre at its place then;
    ``stays``: whether that place stays there until that edge goes in.
    """

    token: str
    side: Side
    moved: tuple[Moved, ...]
    ideas: tuple[str, ...]
    before: tuple[str, ...]
    after: tuple[str, ...]
    quarters: int
    next: tuple[str, str] | None
    stays: bool


@dataclass(frozen=True, slots=True)
class Story:
    """A complete way to the cross.

    ``colour``: of the cross; ``ring``: the four side colours in their order
    round the bottom; ``settled``: edges that are in the base from the start and
    stay there, ``quarters`` round from their centres; ``beats``: the turns.
    ``held``: where the cross colour's centre is, of the hold in which the
    tokens are written. ``rotation``: how the cube is turned before the first
    one, nothing where it is not; ``told``: whether the story turns it so, not
    the way. ``front``: the colour in front then.
    """

    colour: str
    ring: tuple[str, ...]
    settled: tuple[str, ...]
    quarters: int
    beats: tuple[Beat, ...]
    held: Literal["bottom", "top"] = "bottom"
    rotation: str = ""
    told: bool = False
    front: str = ""

    def across(self, one: str, other: str) -> bool:
        """Whether two edges belong on opposite sides of the finished cross."""
        return abs(self.ring.index(one) - self.ring.index(other)) == 2

    def put_back_by(self, edge: str, index: int) -> str | None:
        """Return the turn that puts an edge back that leaves the base in the turn ``index``."""
        for beat in self.beats[index + 1 :]:
            if any(each.edge == edge and each.returns for each in beat.moved):
                return beat.token
        return None


def story_of(
    scramble: str, way: str, colour: str, ideas: Iterable[TechniqueTurns] = (), *, after: str = ""
) -> Story:
    """Tell what a way to the cross does, turn by turn.

    ``way``: face turns, perhaps after rotations, that solve the cross of that
    colour after ``scramble`` and then ``after`` (moves made before it, which
    also say how the cube is held). ``ideas``: where the way uses techniques.
    With the cross colour at the bottom or on top the turns stand as written.
    With it at a side the story is of the cube turned, so that it is at the
    bottom (a story with everything lying on its side reads badly).
    Raises ValueError when it does not solve it, NotationError for what cannot
    be read.

    >>> story = story_of("R D", "D' R'", "yellow", [TechniqueTurns("base_turn", (0,))])
    >>> [(beat.token, beat.ideas, beat.after) for beat in story.beats][1]
    ("R'", (), ('green', 'blue', 'orange', 'red'))
    """
    before = follow_scramble(scramble)
    so_far = walk(parse(after), before.hold)
    tokens = parse(way)
    own = walk(tokens, so_far.hold)
    if len(own.turns) != sum(token.moves > 0 for token in tokens):
        raise ValueError(NOT_A_WAY)
    centre = CENTRE_OF_COLOUR[colour]
    held, written, rotation = _held(own.hold, centre)
    hold = BOTTOMS[written][centre].hold
    relabel = RELABEL[hold]
    ring = tuple(COLOUR_OF_FACE[FACES[HOLDS[hold][FACES.index(side)]]] for side in "FRBL")
    state = SOLVED
    for turn in (*before.turns, *so_far.turns):
        state = turned(state, relabel[turn])
    states: list[CrossState] = [state]
    turns = [relabel[turn] for turn in own.turns]
    for turn in turns:
        states.append(turned(states[-1], turn))
    if states[-1] != SOLVED:
        raise ValueError(NOT_A_WAY)
    names = [str(token) for token in tokens if token.moves]
    if rotation:
        names = [TURN_NAMES[RELABEL[written][turn]] for turn in own.turns]
    story = _Teller(colour, ring, states, turns, names, tuple(ideas)).story()
    return replace(
        story,
        held=held,
        rotation=rotation or " ".join(str(token) for token in tokens if not token.moves),
        told=bool(rotation),
        front=COLOUR_OF_FACE[FACES[HOLDS[written][FACES.index("F")]]],
    )


def _held(hold: int, centre: int) -> tuple[Literal["bottom", "top"], int, str]:
    """Return where a centre is held, the hold to tell of, and the rotation to it if any."""
    place = FACES[HOLDS[hold].index(centre)]
    if place in "UD":
        return ("top" if place == "U" else "bottom"), hold, ""
    rotation, turned_so = BOTTOMS[hold][centre]
    return "bottom", turned_so, rotation


class _Teller:
    """Finds out when edges settle, and what each turn is for."""

    def __init__(
        self,
        colour: str,
        ring: tuple[str, ...],
        states: Sequence[CrossState],
        turns: Sequence[int],
        names: Sequence[str],
        ideas: Sequence[TechniqueTurns],
    ) -> None:
        self.colour, self.ring, self.states = colour, ring, states
        self.turns, self.names, self.ideas = turns, names, ideas
        # The moment of each turn, from 1, and the turns done at each moment's end.
        self.moment: list[int] = []
        self.ends = [0]
        for index, turn in enumerate(turns):
            if not index or turn // 3 % 3 != turns[index - 1] // 3 % 3:
                self.ends.append(0)
            self.ends[-1] = index + 1
            self.moment.append(len(self.ends) - 1)
        self.settle = [self._settles(edge) for edge in range(4)]
        # In the order of their colours, so that nothing hangs on how the cube is held.
        self.edges = sorted(range(4), key=lambda edge: COLOURS.index(ring[edge]))
        # The turn with which each edge settles, -1 when it is settled from the start.
        self.goes_in = [self._goes_in(edge) for edge in range(4)]

    def story(self) -> Story:
        from_start = [edge for edge in self.edges if self.settle[edge] == 0]
        return Story(
            self.colour,
            self.ring,
            tuple(self.ring[edge] for edge in from_start),
            self._quarters(0, from_start),
            tuple(self._beat(index) for index in range(len(self.turns))),
        )

    def _settles(self, edge: int) -> int:
        along = [self.states[end][edge] for end in self.ends]
        settled = len(along) - 1
        while settled > 0 and in_base(along[settled - 1]):
            settled -= 1
        return settled

    def _beat(self, index: int) -> Beat:
        face = self.turns[index] // 3
        was, now = self.states[index], self.states[index + 1]
        before = [edge for edge in self.edges if self.settle[edge] < self.moment[index]]
        after = [edge for edge in self.edges if self.goes_in[edge] <= index]
        return Beat(
            token=self.names[index],
            side="top" if FACES[face] == "U" else "base" if FACES[face] == "D" else "side",
            moved=tuple(self._moved(index, edge) for edge in self.edges if was[edge] != now[edge]),
            ideas=tuple(idea.technique for idea in self.ideas if index in idea.turns),
            before=self._in_order(before),
            after=self._in_order(after),
            quarters=self._quarters(index + 1, after),
            next=self._next(index),
            stays=self._stays(index),
        )

    def _in_order(self, edges: Sequence[int]) -> tuple[str, ...]:
        return tuple(self.ring[edge] for edge in sorted(edges, key=self.goes_in.__getitem__))

    def _goes_in(self, edge: int) -> int:
        if self.settle[edge] == 0:
            return -1
        first = self.ends[self.settle[edge] - 1]
        return next(
            index
            for index in range(first, len(self.turns))
            if in_base(self.states[index + 1][edge])
        )

    def _quarters(self, done: int, settled: Sequence[int]) -> int:
        return offset(self.states[done][settled[0]], settled[0]) if settled else 0

    def _moved(self, index: int, edge: int) -> Moved:
        was, now = self.states[index][edge], self.states[index + 1][edge]
        face = self.turns[index] // 3
        same = [other for other in range(len(self.turns)) if self.turns[other] // 3 == face]
        place = same.index(index)
        out = same[place - 1] if place else None
        back = same[place + 1] if place + 1 < len(same) else None
        is_side = FACES[face] not in "UD"
        return Moved(
            edge=self.ring[edge],
            start=self._place(was),
            end=self._place(now),
            nearer=need(now) < need(was),
            settles=self.goes_in[edge] == index,
            leaves=is_side and back is not None and self._goes_and_comes(edge, index, back),
            returns=is_side and out is not None and self._goes_and_comes(edge, out, index),
        )

    def _goes_and_comes(self, edge: int, out: int, back: int) -> bool:
        along = [self.states[at][edge] for at in (out, out + 1, back, back + 1)]
        return [in_base(each) for each in along] == [True, False, False, True]

    def _place(self, edge: int) -> EdgePlace:
        return _place_in(self.ring, edge)

    def _next(self, index: int) -> tuple[str, str] | None:
        """Return the next edge to settle after a turn, and the centre above its place now."""
        left = [edge for edge in self.edges if self.goes_in[edge] > index]
        if not left:
            return None
        edge = min(left, key=self.goes_in.__getitem__)
        settled = [other for other in range(4) if self.goes_in[other] <= index]
        quarters = self._quarters(index + 1, settled)
        return self.ring[edge], self.ring[(edge + quarters) % 4]

    def _stays(self, index: int) -> bool:
        """Return whether the base is not turned again before the next edge goes in."""
        later = [place for place in self.goes_in if place > index]
        return bool(later) and not any(
            FACES[turn // 3] == "D" for turn in self.turns[index + 1 : min(later)]
        )


@lru_cache(maxsize=24 * 24)
def _place_in(ring: tuple[str, ...], edge: int) -> EdgePlace:
    """Return the place of an edge state, between the side centres of a ring."""
    name = EDGE_PLACES[edge // 2]
    layer = _LAYER.get(name[0], "middle")
    sides = name if layer == "middle" else name[1:]
    centres = sorted((ring["FRBL".index(side)] for side in sides), key=COLOURS.index)
    return EdgePlace(layer, tuple(centres), layer != "middle" and edge % 2 == 1)
