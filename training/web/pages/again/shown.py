"""Trying again laid out: where the cube stands, what was written on, the hints asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.atlas import Atlas
from solverworker.report import PlanReport
from training.models import Membership
from training.second_look import MOST_HINTS, Helped, Tried, help_at, try_on
from training.selectors.plans import ScrambleView, SetView
from training.web.pages.again.place import Place
from training.web.parts.drawn import CrossDrawn, draw_cross
from training.web.parts.of_set import OfSet, of_set
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.plans import colour_name
from training.web.saying.spoken import say_token
from training.web.saying.steps import say_left
from training.web.saying.stories import set_as_moves


@dataclass(frozen=True, slots=True)
class TryingShown:
    """What ``pages/again/again.html`` needs.

    ``draft_id``: the scramble's, by which a browser keeps what is typed at the place
    where one ``stands``. ``did``: what the plan did from here; ``refused``: that what was tried
    lost something;
    ``hints``: those asked for; ``hint_href``, ``hint_asks``: for one more, empty when there is
    none; ``found``: that the way is found, with ``next_href`` to the plan's next loss or empty.
    """

    of_set: OfSet
    draft_id: int
    stands: str
    title: str
    did: SafeString
    left: str
    drawn: CrossDrawn
    kept: tuple[tuple[str, str], ...]
    refused: SafeString
    hints: tuple[SafeString, ...]
    hint_href: str
    hint_asks: str
    found: SafeString
    next_href: str
    next_number: int
    start_href: str
    back_href: str


def show_again(
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    report: PlanReport,
    place: Place,
    tried: Tried,
    known: Atlas,
    now: datetime,
) -> TryingShown:
    """Lay out one place. ``tried``: what was written on so far."""
    here = reverse("again", args=[viewer.club.slug, view.head.id, one.number])
    at = reverse("scramble", args=[viewer.club.slug, view.head.id, one.number])
    helped = (
        None
        if tried.found
        else help_at(known, one.text, place.so_far, place.colour, along=place.along)
    )
    more = helped is not None and place.hints < MOST_HINTS
    following = _next_loss(report, place) if tried.found and tried.kept else None
    return TryingShown(
        of_set=of_set(viewer, view, one, now),
        draft_id=one.id,
        stands=place.query(hints=0),
        title=_title(report, place),
        did=_did(report, place),
        left=say_left(tried.left),
        drawn=draw_cross(
            one.text,
            place.moves,
            colour=place.colour,
            step=len(tried.kept),
            after=place.before,
            name="cube",
        ),
        kept=tuple((token, say_token(token)) for token in tried.kept),
        refused=_refused(known, one.text, place),
        hints=_hints(helped, place.hints) if helped else (),
        hint_href=here + place.query(hints=place.hints + 1) + "#hints" if more else "",
        hint_asks=str(_asks()[place.hints]) if more else "",
        found=_found(place, tried),
        next_href=f"{here}?step={following[0]}" if following else "",
        next_number=following[1] if following else 0,
        start_href=here + place.query(moves="", refused="", hints=0) if tried.kept else "",
        back_href=f"{at}?way={place.way}&step={place.step}#cube",
    )


def _title(report: PlanReport, place: Place) -> str:
    if place.way:
        return _("Try it from here")
    if not report.ledger:
        return _("Look for a way yourself")
    return _("Try again from move {number}").format(number=_number(report, place.step))


def _number(report: PlanReport, step: int) -> int:
    """Which move stands at a place of the plan, as moves count."""
    return 1 + sum(row.moves for row in report.ledger[:step])


def _did(report: PlanReport, place: Place) -> SafeString:
    """What the plan did from here, where it lost something."""
    if place.way or place.step >= len(report.ledger) or not report.ledger[place.step].loss:
        return SafeString("")
    row = report.ledger[place.step]
    return set_as_moves(
        _("Your plan went on with `{move}` here, which lost {moves}.").format(
            move=row.token, moves=count(row.loss, "move")
        )
    )


def _refused(known: Atlas, scramble: str, place: Place) -> SafeString:
    """What an attempt lost, worked out anew: the address is not believed."""
    if not place.refused:
        return SafeString("")
    tried = try_on(known, scramble, place.so_far, place.refused, place.colour)
    if not tried.refused:
        return SafeString("")
    return set_as_moves(
        _("`{move}` loses {moves} here. Try another: any that loses nothing will do.").format(
            move=tried.refused, moves=count(tried.lost, "move")
        )
    )


def _asks() -> Sequence[str]:
    return (
        _("A hint: which idea"),
        _("One more hint: which edge"),
        _("The last hint: the next move"),
    )


def _hints(helped: Helped, asked: int) -> tuple[SafeString, ...]:
    """The hints asked for so far, in their order."""
    told = [_idea(helped), _edge(helped)]
    told.append(_("`{move}` loses nothing.").format(move=helped.move))
    return tuple(set_as_moves(text) for text in told[:asked])


def _idea(helped: Helped) -> str:
    if helped.every:
        code = helped.every[0]
        return _("Every shortest way from here uses this idea: {idea}. {meaning}").format(
            idea=idea_name(code), meaning=idea_meaning(code)
        )
    if helped.some:
        return _("No idea is needed here. Some shortest ways use one: {ideas}.").format(
            ideas=listed([idea_name(code) for code in helped.some])
        )
    return _("No idea is needed here: put the edges in one by one.")


def _edge(helped: Helped) -> str:
    if not helped.edges:
        return _("Look at the cross’s own layer: it turns first.")
    return ngettext(
        "Look at the {edges} edge.", "Look at the {edges} edges.", len(helped.edges)
    ).format(edges=listed([colour_name(colour) for colour in helped.edges]))


def _found(place: Place, tried: Tried) -> SafeString:
    if not tried.found:
        return SafeString("")
    if not tried.kept:
        return SafeString(_("The cross is solved here: there is nothing to write."))
    moves = sum(_moves(token) for token in tried.kept)
    return set_as_moves(
        _("Found: `{way}` solves it from here in {moves}, and nothing is lost.").format(
            way=" ".join(tried.kept), moves=count(moves, "move")
        )
    )


def _moves(token: str) -> int:
    return 0 if token[0] in "xyz" else 2 if token[0] in "MES" else 1


def _next_loss(report: PlanReport, place: Place) -> tuple[int, int] | None:
    """The place of the plan's next move that lost something, and its number; None for none."""
    if place.way:
        return None
    for lost in report.lost:
        if lost.token > place.step:
            return lost.token, _number(report, lost.token)
    return None
