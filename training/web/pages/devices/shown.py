"""Where somebody is signed in, laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training.models import Scope
from training.selectors.devices import BrowserOfMine, DevicesOfMine, ProgramOfMine
from training.web.saying.counting import listed
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class BrowserLine:
    """A browser; ``is_this`` for the one in which the page is read."""

    id: int
    name: str
    since: Said
    is_this: bool


@dataclass(frozen=True, slots=True)
class ProgramLine:
    """A program with a token; ``opens`` says which clubs, ``may`` what it may do there."""

    handle: str
    name: str
    opens: str
    may: str
    since: Said


@dataclass(frozen=True, slots=True)
class DevicesShown:
    """What ``pages/devices/devices.html`` needs."""

    browsers: tuple[BrowserLine, ...]
    programs: tuple[ProgramLine, ...]


def show_devices(found: DevicesOfMine, now: datetime, zone: ZoneInfo) -> DevicesShown:
    """Lay out what somebody is signed in with, times in ``zone``."""
    return DevicesShown(
        browsers=tuple(_browser(one, now, zone) for one in found.browsers),
        programs=tuple(_program(one, now, zone) for one in found.programs),
    )


def _browser(one: BrowserOfMine, now: datetime, zone: ZoneInfo) -> BrowserLine:
    if one.browser and one.system:
        name = _("{browser} on {system}").format(browser=one.browser, system=one.system)
    else:
        name = one.browser or one.system or _("A browser")
    return BrowserLine(one.id, name, say(one.began_at, now, zone), one.is_this)


def _program(one: ProgramOfMine, now: datetime, zone: ZoneInfo) -> ProgramLine:
    opens = _("opens no club")
    if one.clubs:
        opens = _("opens {clubs}").format(clubs=listed(one.clubs))
    may = [str(Scope(scope).label) for scope in one.scopes]
    return ProgramLine(
        one.handle,
        one.program or _("A program"),
        opens,
        _("It may {what}.").format(what="; ".join(may)) if may else "",
        say(one.made_at, now, zone),
    )
