"""A pasted list line by line, and cards eight to a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from training.agreement import CURRENT, TEXTS
from training.models import Membership
from training.selectors.people_lists import ListLine, ListPreview, SavedList
from training.services.people_lists import SignInCard
from training.web.pictures.qr import Qr, draw_qr
from training.web.saying.addresses import breakable
from training.web.saying.counting import count, listed
from training.web.saying.times import Said, say

CARDS_A_PAGE = 8


@dataclass(frozen=True, slots=True)
class ListLineShown:
    """A line of the list. ``trouble``: why it cannot be saved; empty where it can."""

    number: int
    name: str
    sign_in_name: str
    group: str
    about: str
    trouble: str


@dataclass(frozen=True, slots=True)
class ListShown:
    """A list looked at. ``trouble``: of all of it; ``may_be_saved``: no line needs correcting."""

    lines: tuple[ListLineShown, ...]
    trouble: str
    summary: str
    may_be_saved: bool


@dataclass(frozen=True, slots=True)
class SavedShown:
    """The list that was saved last. ``may_be_undone``: nobody of it has signed in yet."""

    id: int
    said: str
    saved: Said
    may_be_undone: bool


@dataclass(frozen=True, slots=True)
class PeopleListShown:
    """What ``pages/people_list/people_list.html`` needs beside its forms."""

    preview: ListShown | None
    saved: SavedShown | None
    agreement: str


@dataclass(frozen=True, slots=True)
class CodeCard:
    """One card of a printed page."""

    name: str
    sign_in_name: str
    code: str


@dataclass(frozen=True, slots=True)
class CardsShown:
    """What ``pages/people_list/cards.html`` needs. ``left_out``: whose account is not open.

    ``where``: the address as lines may break it.
    """

    pages: tuple[tuple[CodeCard, ...], ...]
    where: SafeString
    qr: Qr
    within: str
    left_out: str


def show_list(
    viewer: Membership, preview: ListPreview | None, saved: SavedList | None, now: datetime
) -> PeopleListShown:
    """Lay out what a list would make, and the one that was saved last."""
    return PeopleListShown(
        preview=_preview(preview, viewer) if preview is not None else None,
        saved=_saved(saved, viewer, now) if saved is not None and saved.members else None,
        agreement=str(TEXTS[CURRENT]),
    )


def _preview(found: ListPreview, viewer: Membership) -> ListShown:
    wrong = sum(bool(one.trouble) for one in found.lines)
    waiting = sum(one.waits for one in found.lines)
    summary = _("{members} in the list.").format(members=count(len(found.lines), "member"))
    if wrong:
        more = _("{lines} to correct: nothing is saved before.").format(lines=count(wrong, "line"))
        summary = f"{summary} {more}"
    if waiting:
        more = _("{members} will wait for a guardian’s consent.").format(
            members=count(waiting, "member")
        )
        summary = f"{summary} {more}"
    return ListShown(
        lines=tuple(_line(one, viewer) for one in found.lines),
        trouble=found.trouble,
        summary=summary,
        may_be_saved=found.may_be_saved,
    )


def _line(one: ListLine, viewer: Membership) -> ListLineShown:
    about = ""
    if one.under_18 and one.consent:
        about = _("under 18; {consent}, noted by {name} to text {number}").format(
            consent=one.consent, name=viewer.display_name, number=CURRENT
        )
    elif one.under_18:
        about = _("under 18; waits for a guardian’s consent")
    return ListLineShown(one.number, one.name, one.sign_in_name, one.group, about, one.trouble)


def _saved(saved: SavedList, viewer: Membership, now: datetime) -> SavedShown:
    return SavedShown(
        id=saved.id,
        said=listed([one.display_name for one in saved.members]),
        saved=say(saved.saved_at, now, viewer.club.zone),
        may_be_undone=saved.may_be_undone,
    )


def show_cards(
    cards: Sequence[SignInCard], left_out: Sequence[Membership], address: str, *, days: int
) -> CardsShown:
    """Lay out cards; ``address``: where a code is typed in, within ``days``."""
    shown = [
        CodeCard(one.membership.display_name, one.membership.person.sign_in_name, one.code)
        for one in cards
    ]
    return CardsShown(
        pages=tuple(
            tuple(shown[at : at + CARDS_A_PAGE]) for at in range(0, len(shown), CARDS_A_PAGE)
        ),
        where=breakable(address),
        qr=draw_qr(address),
        within=count(days, "day"),
        left_out=listed([one.display_name for one in left_out]),
    )
