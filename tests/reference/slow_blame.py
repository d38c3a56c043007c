"""Blame the long way round: straight from the definitions, in fractions.

Works on the numbered stickers of :mod:`tests.reference.cross_graph` and calls
nothing of the solver. Moves are names.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from tests.reference import cross_graph
from tests.reference.slow_sequence import moved, tidied
from tests.reference.slow_techniques import techniques

NAMES = {1: "", 2: "2", 3: "'"}
KIND = {"D": "spare_base_moves", "U": "spare_top_moves"}
KINDS = ("spare_base_moves", "spare_top_moves", "spare_side_moves")

State = tuple[int, ...]


@dataclass
class SlowBlame:
    """What the definitions say of a plan; ``blame`` by code, nothing where nothing is."""

    used: set[str] = field(default_factory=set)
    called: set[str] = field(default_factory=set)
    answered: set[str] = field(default_factory=set)
    blame: dict[str, Fraction] = field(default_factory=dict)


def state_after(names: list[str], state: State = cross_graph.HOMES) -> State:
    """Return the state after turns by name."""
    for name in names:
        turn = cross_graph.FACE_TURNS[name]
        state = tuple(turn[place] for place in state)
    return state


def review(state: State, plan: list[str]) -> SlowBlame:
    """Review a plan that solves the state."""
    moments = tidied(plan)
    ends = [state]
    for moment in moments:
        here = ends[-1]
        for face, quarters in moment.items():
            here = moved(here, face, quarters)
        ends.append(here)
    far = [cross_graph.distance(end) for end in ends]
    rests = [
        [face + NAMES[quarters] for moment in moments[at:] for face, quarters in moment.items()]
        for at in range(len(moments))
    ]
    result = SlowBlame(used=techniques(state, plan))
    blame: dict[str, Fraction] = {}

    def charge(code: str, share: Fraction) -> None:
        if share:
            blame[code] = blame.get(code, Fraction(0)) + share

    charge("undone_moves", Fraction(len(plan) - sum(map(len, moments))))
    for at, moment in enumerate(moments):
        own = techniques(ends[at], rests[at])
        ways = [list(way) for way in cross_graph.shortest(ends[at])]
        ideas = [techniques(ends[at], way) for way in ways]
        for code in set.intersection(*ideas) - result.called:
            result.called.add(code)
            if code in own:
                result.answered.add(code)
        loss = len(moment) + far[at + 1] - far[at]
        if loss == 0:
            continue
        if set(ends[: at + 1]) & set(ends[at + 1 :]):
            charge("undone_moves", Fraction(loss))
            continue
        gaps = [each - own for each in ideas]
        least = min(map(len, gaps))
        kept = [(way, gap) for way, gap in zip(ways, gaps, strict=True) if len(gap) == least]
        for way, gap in kept:
            share = Fraction(loss, len(kept))
            if gap:
                for code in gap:
                    charge(code, share / len(gap))
                continue
            mine, theirs = _kinds(rests[at]), _kinds(way)
            more = {kind: max(0, mine[kind] - theirs[kind]) for kind in KINDS}
            for kind in KINDS:
                charge(kind, share * more[kind] / sum(more.values()))
    result.blame = blame
    return result


def _kinds(names: list[str]) -> Counter[str]:
    return Counter(KIND.get(name[0], "spare_side_moves") for name in names)
