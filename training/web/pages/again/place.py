"""Where in a plan somebody tries again, as an address says it.

Everything stands in the query (``?way=0&step=2&moves=R'&tried=D&hint=1``), so that a reload, the
way back and a link all lead to the same; anybody can type it, so nothing of it is believed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from urllib.parse import urlencode

from django.http import HttpRequest

from solverworker.atlas import Atlas
from solverworker.cube.notation import NotationError, canonical, parse
from solverworker.report import PlanReport
from training.second_look import MOST_HINTS, Tried, try_on
from training.web.parts.stepper import line_of
from training.web.query import number_asked
from training.web.saying.second_looks import Forgotten


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a way, and what was written on from it.

    ``way``, ``step``: as the verdict's page numbers them; ``before``: the moves up to it;
    ``ahead``: the way's own moves from there; ``colour``: of the cross; ``moves``: written on,
    that lost nothing; ``refused``: tried last, and lost something; ``hints``: asked for here.
    """

    way: int
    step: int
    before: str
    ahead: str
    colour: str
    moves: str
    refused: str
    hints: int

    @property
    def so_far(self) -> str:
        """All moves up to where the cube stands."""
        return f"{self.before} {self.moves}".strip()

    @property
    def along(self) -> str:
        """The way's next move, while nothing else was written."""
        tokens, written = self.ahead.split(), self.moves.split()
        if tokens[: len(written)] == written and len(tokens) > len(written):
            return tokens[len(written)]
        return ""

    def query(self, **changed: object) -> str:
        """The address of this place, with what is changed."""
        there = replace(self, **changed)  # type: ignore[arg-type]
        said = {"way": there.way, "step": there.step, "moves": there.moves}
        more = {"tried": there.refused, "hint": there.hints}
        return "?" + urlencode({**said, **{name: value for name, value in more.items() if value}})


def place_asked(
    request: HttpRequest,
    scramble: str,
    report: PlanReport,
    known: Atlas,
    forgotten: Forgotten | None,
) -> tuple[Place, Tried]:
    """Read the place that an address asks for, and judge what it says was written there.

    ``forgotten``: a rotation that the plan's page steps with.
    """
    way = number_asked(request, "way")
    before, text, colour = line_of(scramble, report, way, forgotten)
    tokens = text.split()
    step = min(number_asked(request, "step"), len(tokens))
    before = " ".join([*before.split(), *tokens[:step]])
    tried = try_on(known, scramble, before, _readable(request.GET.get("moves", "")), colour)
    place = Place(
        way=way,
        step=step,
        before=before,
        ahead=" ".join(tokens[step:]),
        colour=colour,
        moves=" ".join(tried.kept),
        refused=_readable(request.GET.get("tried", "")),
        hints=min(number_asked(request, "hint"), MOST_HINTS),
    )
    return place, replace(tried, refused="", lost=0)


def _readable(text: str) -> str:
    """Moves from an address in canonical form; nothing for what cannot be read."""
    try:
        return canonical(parse(text))
    except NotationError:
        return ""
