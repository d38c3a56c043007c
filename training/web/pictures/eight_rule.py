"""The eight rule: a short ruler with eight marks, because no cross needs more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

EIGHT = 8
PAST_SHOWN = 10
"""Most small marks drawn past eight; a longer rule ends in three dots and the words tell."""

MarkKind = Literal["best", "over", "spare"]


@dataclass(frozen=True, slots=True)
class RuleMark:
    """One mark of the rule: a rectangle."""

    kind: MarkKind
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class EightRule:
    """What ``pictures/eight_rule.html`` needs.

    ``words`` say all that the picture says. ``notch`` and ``eight`` are the x
    of the two upright lines (``notch`` None when the best is eight, ``eight`` None
    when the plan has no more than eight moves); ``dots`` the x of each dot when the
    rule goes on undrawn. ``exact``: the plan is exactly the best.
    """

    width: float
    height: float
    marks: tuple[RuleMark, ...]
    notch: float | None
    eight: float | None
    dots: tuple[float, ...]
    words: str
    over: str
    exact: bool
    kind: Literal["full", "line"]


@dataclass(frozen=True, slots=True)
class _Size:
    mark: float
    gap: float
    notch: float
    height: float


_SIZES: dict[str, _Size] = {
    "full": _Size(mark=15, gap=3, notch=9, height=20),
    "line": _Size(mark=6, gap=2.5, notch=5, height=13),
}


def moves_over(count: int) -> str:
    """Say how far a plan is over the best: ``eight_rule`` puts it after the figures.

    >>> moves_over(0), moves_over(1), moves_over(2)
    ('exactly the best', '1 over', '2 over')
    """
    return _("exactly the best") if count == 0 else _("{number} over").format(number=count)


def eight_rule(
    best: int, moves: int | None, *, kind: Literal["full", "line"] = "full"
) -> EightRule:
    """Draw a plan of ``moves`` against ``best``; ``moves`` None for a plan that is not solved.

    Solid up to the best, hatched above it past a notch, faint for the marks
    left over; past eight the marks are smaller.

    Raises ValueError when ``best`` is not 0 to 8 or ``moves`` is less than it.

    >>> rule = eight_rule(6, 8)
    >>> [mark.kind for mark in rule.marks].count("over"), rule.words
    (2, 'best 6, plan 8')
    """
    if not 0 <= best <= EIGHT:
        raise ValueError(f"best must be from 0 to {EIGHT}, not {best}")
    if moves is not None and moves < best:
        raise ValueError(f"a plan of {moves} moves cannot be under the best {best}")
    size = _SIZES[kind]
    pitch = size.mark + size.gap
    plan = best if moves is None else moves
    top, tall = 2.0, size.height - 4
    marks: list[RuleMark] = []
    for index in range(EIGHT):
        what: MarkKind = "best" if index < best else "over" if index < plan else "spare"
        x = 1 + index * pitch + (size.notch if index >= best else 0)
        marks.append(RuleMark(what, round(x, 2), top, size.mark, tall))
    notch = 1 + best * pitch + (size.notch - size.gap) / 2
    end = 1 + EIGHT * pitch + size.notch
    eight: float | None = None
    dots: tuple[float, ...] = ()
    if plan > EIGHT:
        eight = round(end + size.gap / 2, 2)
        end += 2 * size.gap + 1
        small, short = size.mark * 0.5, tall * 0.6
        for index in range(min(plan - EIGHT, PAST_SHOWN)):
            x = end + index * (small + size.gap * 0.8)
            marks.append(
                RuleMark(
                    "over", round(x, 2), round(top + (tall - short) / 2, 2), small, round(short, 2)
                )
            )
        end = marks[-1].x + small + size.gap
        if plan - EIGHT > PAST_SHOWN:
            dots = tuple(round(end + 1 + step * 4, 2) for step in range(3))
            end = dots[-1] + 2
    if moves is None:
        words = _("best {best}, not solved").format(best=best)
    else:
        words = _("best {best}, plan {moves}").format(best=best, moves=moves)
    return EightRule(
        width=round(end, 2),
        height=size.height,
        marks=tuple(marks),
        notch=None if best == EIGHT else round(notch, 2),
        eight=eight,
        dots=dots,
        words=words,
        over="" if moves is None else moves_over(moves - best),
        exact=moves == best,
        kind=kind,
    )
