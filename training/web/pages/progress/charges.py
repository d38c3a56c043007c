"""Where points went: the headings of an account, dearest first."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from training.account import UNSOLVED
from training.headings import heading, name_of
from training.selectors.reviews import MemberReview, TechniqueLine
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count
from training.web.saying.ideas import idea_anchor
from training.web.saying.plainly import about_points
from training.web.saying.rates import group_words, line_words, of, points


@dataclass(frozen=True, slots=True)
class Charge:
    """A heading and its points. ``says``: more of it; ``rate``: of an idea; ``picked`` likewise.

    ``anchor``: where the guide tells of an idea; empty for other headings.
    """

    name: str
    points: str
    bar: Bar
    rate: RateShown | None
    says: str
    picked: str
    anchor: str = ""


def show_charges(found: MemberReview, *, own: bool) -> tuple[Charge, ...]:
    """All headings that cost something, and every idea that was called for."""
    lines = {one.code: one for one in found.lines}
    charged = dict(found.account.points)
    for line in found.lines:
        if line.tally.called:
            charged.setdefault(line.code, found.account.of_heading(line.code))
    most = max(charged.values(), default=0)
    dearest_first = sorted(charged.items(), key=lambda one: -one[1])
    return tuple(
        Charge(
            name=name_of(code),
            points=about_points(cost) if own else points(cost),
            bar=loss_bar(float(cost), float(most)),
            rate=_rate(lines.get(code), own=own),
            says=_says(code, found, lines.get(code), own=own),
            picked=_picked(lines.get(code)),
            anchor=idea_anchor(code) if code in lines else "",
        )
        for code, cost in dearest_first
    )


def exact_points(found: MemberReview) -> str:
    """The points that are no whole number, exactly; empty where all are whole."""
    parts = [
        _("{name}: {points}").format(name=name_of(code), points=cost)
        for code, cost in sorted(found.account.points.items(), key=lambda one: -one[1])
        if cost != int(cost)
    ]
    return _("Exactly: {parts}.").format(parts=", ".join(parts)) if parts else ""


def _rate(line: TechniqueLine | None, *, own: bool) -> RateShown | None:
    return show_rate(line.tally, line.interval, plainly=own) if line is not None else None


def _picked(line: TechniqueLine | None) -> str:
    if line is None:
        return ""
    return of(line.picked.answered, line.picked.called) if line.picked.called else _("none")


def _says(code: str, found: MemberReview, line: TechniqueLine | None, *, own: bool) -> str:
    if line is not None:
        said = (line_words(line) + ".", group_words(line, own=own))
        return _joined(said)
    if code == UNSOLVED:
        return ", ".join(
            _("{name}: {plans}").format(name=name_of(kind), plans=count(plans, "plan"))
            for kind, plans in sorted(found.account.unsolved.items(), key=lambda one: -one[1])
        )
    # What comes first has been told already.
    return str(heading(code).to_do) if own and code != found.first else ""


def _joined(said: tuple[str, str]) -> str:
    first, second = said
    return f"{first[:1].upper()}{first[1:]} {second}".rstrip()
