"""What an erase takes and leaves, and the receipt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training import retention
from training.services.erasing import ClubErasure, Receipt
from training.web.saying.counting import count
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class ClubLine:
    """One club: what stays of somebody there as numbers, and what goes."""

    club: str
    stays: str
    goes: str


@dataclass(frozen=True, slots=True)
class EraseShown:
    """What ``pages/erasing/erase.html`` needs beside the form.

    ``name``: whom a coach erases; empty for oneself. ``copies``: how long copies still hold it.
    """

    name: str
    clubs: tuple[ClubLine, ...]
    copies: str
    back_href: str


@dataclass(frozen=True, slots=True)
class ReceiptShown:
    """What ``pages/erasing/receipt.html`` needs.

    ``own``: the reader has erased everything, sign-in and all. A coach is not told whether another
    club knows somebody.
    """

    when: Said
    clubs: tuple[ClubLine, ...]
    own: bool
    copies: str
    next_href: str


def show_erase(clubs: Sequence[ClubErasure], *, name: str, back_href: str) -> EraseShown:
    """Lay out what would go and what would stay."""
    return EraseShown(
        name=name,
        clubs=tuple(_line(one) for one in clubs),
        copies=say_copies(),
        back_href=back_href,
    )


def show_receipt(receipt: Receipt, next_href: str, *, own: bool) -> ReceiptShown:
    """Lay out what went and what stayed. The time is UTC: the reader may belong to no club now."""
    return ReceiptShown(
        when=say(receipt.erased_at, receipt.erased_at, ZoneInfo("UTC")),
        clubs=tuple(_line(one) for one in receipt.clubs),
        own=own,
        copies=say_copies(),
        next_href=next_href,
    )


def say_copies() -> str:
    """How long copies of the database still hold what was erased."""
    return _(
        "Copies of the database that were made before still hold it. Of those that the site makes "
        "before an upgrade the newest {count} are kept; of all others, as many as whoever "
        "runs the server keeps: ask them."
    ).format(count=retention.COPIES_BEFORE_UPGRADES)


def _line(one: ClubErasure) -> ClubLine:
    if one.kept:
        stays = _("{plans} as numbers of “a former member”: solved or not, moves, over the best.")
    else:
        stays = _("Nothing.")
    return ClubLine(
        club=one.club,
        stays=stays.format(plans=count(one.kept, "plan")),
        goes=_("{plans} of other kinds: practised, withdrawn or not checked yet.").format(
            plans=count(one.gone, "plan")
        )
        if one.gone
        else "",
    )
