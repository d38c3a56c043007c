"""Checking one plan: distances, the ledger, the verdict.

Source of the counts: WCA 12a5 (moves); of the rest: the definitions in the
docstrings of :class:`~solverworker.report.PlanReport` and its parts.
"""

from __future__ import annotations

from collections.abc import Sequence

from solverworker.cube.colours import CENTRES, pick_colours
from solverworker.cube.cross import edges_home, edges_relative, state_of_code
from solverworker.cube.holds import BOTTOMS, RELABEL, UNLABEL, Walk, follow_scramble, walk
from solverworker.cube.notation import Token, canonical, parse
from solverworker.cube.turns import write_turns
from solverworker.report import COLOURS, SHOWN_SOLUTIONS, LedgerRow, PlanReport, TechniqueUse
from solverworker.review.blame import Blame, blame_of
from solverworker.review.handling import handling
from solverworker.review.lost import lost_moves
from solverworker.review.nearest import Start, nearest
from solverworker.review.six_crosses import codes_of_colours
from solverworker.review.slips import Slips, slips
from solverworker.review.style import is_edge_by_edge, tail_of
from solverworker.search.cross import first_solution_of_code, tables
from solverworker.techniques import mask_of_codes


def check_plan(
    scramble: str,
    plan: str,
    *,
    colours: Sequence[str] | None = None,
    strict: bool = False,
    shown: int = SHOWN_SOLUTIONS,
) -> PlanReport:
    """Say what a plan is worth.

    ``scramble``: club spelling, from the starting hold (white up, green in
    front). ``plan``: from the hold in which the scramble ends; it may end in
    any. ``colours``: the allowed cross colours; None for any colour, and then
    *best* is that of the colour judged. ``strict``: whether the plan must be
    in the standard's own spelling. ``shown``: the most shortest solutions
    written into the report; with 0 it says nothing of lost moves, and gives no
    hints and no slips either: for programs that want the figures alone.

    The colour judged is the allowed one that the plan solved; of several, the
    one nearest at the start, then the first in the order of COLOURS. When it
    solved none: the allowed one with the least remaining distance, ties
    broken the same way.

    Raises NotationError (its ``where`` tells in which text),
    UnknownColourError, and ValueError when ``colours`` is empty.

    >>> report = check_plan("R D", "D' U", colours=["yellow"])
    >>> report.solved, report.moves, report.distance_left, report.missing
    (False, 2, 1, "R'")
    """
    allowed = pick_colours(colours)
    before = follow_scramble(scramble)
    tokens = parse(plan, strict=strict)
    own = walk(tokens, before.hold)
    codes = codes_of_colours(before, own.turns)
    distances: list[list[int]] = tables().distances[codes].tolist()

    judged = min(allowed, key=lambda colour: (distances[colour][-1], distances[colour][0], colour))
    along = distances[judged]
    start, left = along[0], along[-1]
    considered = (judged,) if colours is None else allowed
    best = min(distances[colour][0] for colour in considered)
    moves = len(own.turns)
    solved = left == 0
    bottom_hold = BOTTOMS[before.hold][CENTRES[judged]].hold
    code_along: list[int] = codes[judged].tolist()
    ledger = _ledger(tokens, own, along)
    use, own_mask, turns = TechniqueUse(), None, []
    if solved:
        turns = [RELABEL[bottom_hold][turn] for turn in own.turns]
        blame = blame_of(code_along[0], turns, colour_choice=start - best)
        use, own_mask = _use(blame), mask_of_codes(blame.used)
    shortest, shortest_count = nearest(
        [
            Start(colour, int(codes[colour, 0]))
            for colour in considered
            if distances[colour][0] == best
        ],
        before.hold,
        own.turns,
        own_mask,
        shown,
    )
    end = state_of_code(code_along[-1])
    losses = [row.loss for row in ledger]
    wrong = Slips() if solved or not shown else slips(tokens, before, allowed)
    return PlanReport(
        canonical=canonical(tokens),
        solved=solved,
        colour=COLOURS[judged],
        solved_colours=tuple(
            [name for name, row in zip(COLOURS, distances, strict=True) if row[-1] == 0]
        ),
        moves=moves,
        best=best,
        excess=moves - best if solved else None,
        colour_choice=start - best if solved else None,
        distance_start=start,
        distance_left=left,
        missing=None if solved else _missing(code_along[-1], bottom_hold, own.hold),
        edges_home=edges_home(end),
        edges_relative=edges_relative(end),
        ledger=ledger,
        shortest=shortest,
        shortest_count=shortest_count,
        techniques=use,
        handling=handling(tokens, own.hold, CENTRES[judged]),
        lost=lost_moves(tokens, own, losses, code_along, before.hold, bottom_hold, COLOURS[judged])
        if solved and shown
        else (),
        hints=wrong.hints,
        slips=wrong.kinds,
        tail=tail_of(own.turns, along) if solved else None,
        edge_by_edge=solved and is_edge_by_edge(code_along[0], turns),
    )


def no_plan(scramble: str, *, colours: Sequence[str] | None = None) -> PlanReport:
    """Say what there was to find, for a member who had no plan.

    The report of an empty plan. (On a cross that the scramble leaves solved
    the empty plan *is* a solution; whether it was offered as one is for the
    caller to know.) Raises as :func:`check_plan` does.
    """
    return check_plan(scramble, "", colours=colours)


def plan_slips(
    scramble: str, plan: str, *, colours: Sequence[str] | None = None, strict: bool = False
) -> tuple[str, ...]:
    """Return the kinds of slip that would explain a plan that does not solve.

    Of :data:`solverworker.report.SLIPS`, in their order, without the last two.
    Arguments and errors as :func:`check_plan`; meaningless for a solved plan.

    >>> plan_slips("R D", "D R'", colours=["yellow"])
    ('wrong_direction',)
    """
    before = follow_scramble(scramble)
    return slips(parse(plan, strict=strict), before, pick_colours(colours)).kinds


def _ledger(tokens: tuple[Token, ...], own: Walk, along: list[int]) -> tuple[LedgerRow, ...]:
    """Return one row a token; ``along``: the distance after each turn of the plan."""
    rows: list[LedgerRow] = []
    done, distance = 0, along[0]
    for token, end in zip(tokens, own.ends, strict=True):
        # A token costs as many moves as it has turns: a rotation 0, a slice 2.
        moves, before = end - done, distance
        done, distance = end, along[end]
        rows.append(LedgerRow(str(token), moves, distance, moves + distance - before))
    return tuple(rows)


def _missing(code: int, bottom_hold: int, end_hold: int) -> str:
    """Return one shortest way to finish, as held where the plan ends.

    ``code`` is of the cross seen in the hold ``bottom_hold``.
    """
    return write_turns(
        RELABEL[end_hold][UNLABEL[bottom_hold][turn]] for turn in first_solution_of_code(code)
    )


def _use(blame: Blame) -> TechniqueUse:
    return TechniqueUse(
        blame.used,
        blame.called,
        blame.answered,
        tuple([(code, str(share)) for code, share in blame.shares.items()]),
    )
