"""Frozen types that cross the border between the solver and the club.

Plain data only: text, whole numbers, tuples. Everything here goes to and from
a JSON object without loss, so a report can be stored in a row, sent over the
API and read back by a process that never loads the solver.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal

SOLVER_VERSION = 3
"""Version of the rules by which plans are checked; stored with every verdict."""

RULES_DIGEST = "b305f8b1f74cb9e8"
"""Digest of these rules; pinned by :mod:`solverworker.rules_digest`, never by hand."""

COLOURS: tuple[str, ...] = ("white", "yellow", "green", "blue", "red", "orange")
"""The six cross colours, in the order in which ties between colours are broken."""

SHOWN_SOLUTIONS = 12
"""Most shortest solutions kept with a verdict (those nearest to the plan)."""


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One written token of a plan and what it did.

    ``token``: as held, WCA spelling (slices stay slices).
    ``moves``: what it costs: 0 a rotation, 1 a face or outer-block turn, 2 a slice.
    ``distance``: face turns still needed after the token, for the judged colour.
    ``loss``: moves lost by the token; the sum over a solved plan is its
    length less the distance at its start.
    """

    token: str
    moves: int
    distance: int
    loss: int

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary."""
        return {
            "token": self.token,
            "moves": self.moves,
            "distance": self.distance,
            "loss": self.loss,
        }


@dataclass(frozen=True, slots=True)
class TechniqueTurns:
    """Where a sequence uses a technique: ``turns``, places from 0 among its face turns."""

    technique: str
    turns: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ShortestSolution:
    """One shortest solution, written from the hold in which the scramble ends.

    ``colour``: the colour that it solves. ``text``: WCA tokens, one space
    between; begins with the rotation that puts the colour on the bottom.
    ``ideas``: the techniques that it uses.
    """

    colour: str
    text: str
    ideas: tuple[TechniqueTurns, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary; ``ideas`` as lists of turns by technique."""
        ideas = {idea.technique: list(idea.turns) for idea in self.ideas}
        return {"colour": self.colour, "text": self.text, "ideas": ideas}

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> ShortestSolution:
        """Read back what :meth:`to_dict` gave, or the older form without ideas."""
        ideas = data.get("ideas", {})
        return cls(
            data["colour"],
            data["text"],
            tuple(TechniqueTurns(technique, tuple(turns)) for technique, turns in ideas.items()),
        )


@dataclass(frozen=True, slots=True)
class TechniqueUse:
    """What a solved plan says of techniques; all empty for one that is not solved.

    ``used``: by the plan; ``called``: every shortest way from some position of
    the plan uses it; ``answered``: of these, used by the plan from there on.
    ``blame``: moves lost by code, exact fractions as text, whose sum is the
    excess; the codes of :data:`solverworker.causes.CAUSES`, in their order.
    """

    used: tuple[str, ...] = ()
    called: tuple[str, ...] = ()
    answered: tuple[str, ...] = ()
    blame: tuple[tuple[str, str], ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary; ``blame`` as fractions by code."""
        return {
            "used": list(self.used),
            "called": list(self.called),
            "answered": list(self.answered),
            "blame": dict(self.blame),
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> TechniqueUse:
        """Read back what :meth:`to_dict` gave."""
        return cls(
            tuple(data["used"]),
            tuple(data["called"]),
            tuple(data["answered"]),
            tuple(data["blame"].items()),
        )


@dataclass(frozen=True, slots=True)
class Handling:
    """Facts about a plan beside its turns: noted, never counted.

    ``ends_on``: where the centre of the colour judged is at the end;
    ``rotations``: written x, y, z, and those after the first move (one before
    it belongs to inspection); ``back_turns``: turns of the layer at the back
    as held (B and Bw); ``half_turns``: moves by half a turn, rotations not
    among them.
    """

    ends_on: Literal["bottom", "top", "side"]
    rotations: int
    rotations_after_first_move: int
    back_turns: int
    half_turns: int


LossKind = Literal["taken_back", "joined", "again", "idea", "spare"]


@dataclass(frozen=True, slots=True)
class LostMove:
    """A written move of a solved plan that lost something, and what there was instead.

    ``token``: its place in the ledger, from 0; ``loss``: as there. ``kind``:

    * ``taken_back``: the same face is turned so that nothing of it remains;
      ``joined``: one turn of the face would have done. ``span``: the places of
      the two moves.
    * ``again``: the cross comes again as it was. ``span``: after how many
      moves it is alike.
    * ``idea``: the way uses techniques that the plan's own rest does not
      (``missing``); ``spare``: it uses none but is shorter.

    ``called``: techniques that every shortest way from before the move uses.
    ``way``: the one of these most like the plan's own rest, its text as held
    there, without a rotation. ``more``: how many more turns of the bottom, the
    top and the sides the rest has than the way.
    """

    token: int
    loss: int
    kind: LossKind
    span: tuple[int, int] | None
    called: tuple[str, ...]
    missing: tuple[str, ...]
    more: tuple[int, int, int]
    way: ShortestSolution

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary (tuples become lists)."""
        return {
            "token": self.token,
            "loss": self.loss,
            "kind": self.kind,
            "span": list(self.span) if self.span else None,
            "called": list(self.called),
            "missing": list(self.missing),
            "more": list(self.more),
            "way": self.way.to_dict(),
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> LostMove:
        """Read back what :meth:`to_dict` gave."""
        base, top, sides = data["more"]
        return cls(
            token=data["token"],
            loss=data["loss"],
            kind=data["kind"],
            span=(data["span"][0], data["span"][1]) if data["span"] else None,
            called=tuple(data["called"]),
            missing=tuple(data["missing"]),
            more=(base, top, sides),
            way=ShortestSolution.from_dict(data["way"]),
        )


HintKind = Literal["change", "swap", "drop", "add", "mirrored", "held"]

SLIPS: tuple[str, ...] = (
    "forgotten_rotation",
    "wrong_direction",
    "last_move_missing",
    "move_missing",
    "wrong_layer",
    "moves_swapped",
    "mirrored",
    "other_scramble",
    "not_explained",
)
"""The kinds of slip in plans that do not end solved, in the order in which ties are broken."""


@dataclass(frozen=True, slots=True)
class Hint:
    """A likely cause of a plan that does not end solved; it never changes a result.

    ``kind``: one edit of a written move that would solve it (``change``,
    ``swap`` with the next, ``drop``, ``add`` before it), at ``token`` (from 0);
    ``was`` and ``instead``: what stands there and what would (nothing for
    ``add`` and ``drop``); ``plan``: all of it, mended; ``move``: the number of
    the move as moves count, from 1 (rotations count nothing, slices two; with
    ``add`` of the move that comes after). Or ``held``: the plan as written
    solves this scramble held with ``top`` and ``front`` to begin with. Or
    ``mirrored``: its mirror image, ``plan``, solves it. ``colour``: the cross
    that comes out.
    """

    kind: HintKind
    colour: str
    token: int | None = None
    move: int | None = None
    was: str = ""
    instead: str = ""
    plan: str = ""
    top: str = ""
    front: str = ""


@dataclass(frozen=True, slots=True)
class PlanReport:
    """What a plan is worth.

    ``colour`` is the colour judged: the one solved or, unsolved, the allowed
    one with the least remaining distance. ``distance_start`` is that colour's
    distance before the plan. ``best`` is the smallest distance at the start
    over the allowed colours. ``excess`` = ``moves`` - ``best`` and
    ``colour_choice`` = ``distance_start`` - ``best``; both None when unsolved.
    ``distance_left`` is 0 when solved; ``missing`` is one shortest way to
    finish from where the plan ends (as held there), None when solved;
    ``edges_home`` counts edges of the judged colour that are home,
    ``edges_relative`` those beside them that lie at the bottom right relative
    to each other, off their centres.
    ``shortest`` holds the shortest solutions over the allowed colours whose
    distance is ``best``, nearest to the plan first, at most
    ``SHOWN_SOLUTIONS`` of the ``shortest_count`` there are. ``lost`` tells of
    each move that lost something, ``hints`` what may have gone wrong in a plan
    that is not solved; ``slips`` are the kinds of slip that would explain it, of
    :data:`SLIPS`, without the last two, which a single plan cannot tell. Of a
    solved plan: ``tail``, the distance after its last moment that lost
    something (None when nothing was lost); ``edge_by_edge``, whether each edge
    went straight onto its own centre. Reports by version 1 of the rules have no
    ``techniques`` and no ``handling`` and tell of no lost move; those by
    version 2 tell of no slip, no tail and no style.
    """

    canonical: str
    solved: bool
    colour: str
    solved_colours: tuple[str, ...]
    moves: int
    best: int
    excess: int | None
    colour_choice: int | None
    distance_start: int
    distance_left: int
    missing: str | None
    edges_home: int
    ledger: tuple[LedgerRow, ...]
    shortest: tuple[ShortestSolution, ...]
    shortest_count: int
    version: int = SOLVER_VERSION
    techniques: TechniqueUse | None = None
    handling: Handling | None = None
    lost: tuple[LostMove, ...] = ()
    edges_relative: int = 0
    hints: tuple[Hint, ...] = ()
    slips: tuple[str, ...] = ()
    tail: int | None = None
    edge_by_edge: bool = False

    def to_dict(self) -> dict[str, Any]:
        """Return a JSON-ready dictionary (tuples become lists)."""
        data = {name: getattr(self, name) for name in self.__slots__}
        data["solved_colours"] = list(self.solved_colours)
        data["ledger"] = [row.to_dict() for row in self.ledger]
        data["shortest"] = [each.to_dict() for each in self.shortest]
        data["techniques"] = self.techniques.to_dict() if self.techniques else None
        data["handling"] = asdict(self.handling) if self.handling else None
        data["lost"] = [each.to_dict() for each in self.lost]
        data["hints"] = [asdict(hint) for hint in self.hints]
        data["slips"] = list(self.slips)
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> PlanReport:
        """Read back what :meth:`to_dict` gave, by these rules or older ones.

        Raises KeyError or TypeError when a field is missing or unknown.
        """
        fields = dict(data)
        fields["solved_colours"] = tuple(fields["solved_colours"])
        fields["ledger"] = tuple(LedgerRow(**row) for row in fields["ledger"])
        fields["shortest"] = tuple(ShortestSolution.from_dict(each) for each in fields["shortest"])
        if fields.get("techniques"):
            fields["techniques"] = TechniqueUse.from_dict(fields["techniques"])
        if fields.get("handling"):
            fields["handling"] = Handling(**fields["handling"])
        fields["lost"] = tuple(LostMove.from_dict(each) for each in fields.get("lost", ()))
        fields["hints"] = tuple(Hint(**each) for each in fields.get("hints", ()))
        fields["slips"] = tuple(fields.get("slips", ()))
        return cls(**fields)
