"""Sets that open for a member at another hour than for the others, told on the day's page."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.utils.translation import gettext as _

from training.models import Membership
from training.selectors.own_windows import WindowToCome
from training.web.saying.series import kind_in_words
from training.web.saying.times import say


def own_window_lines(
    viewer: Membership, found: Iterable[WindowToCome], now: datetime
) -> tuple[str, ...]:
    """A sentence for each: what it is, from when to when it is open for the viewer."""
    zone = viewer.club.zone
    return tuple(
        _("{kind}: it opens for you {opens} and closes {closes}.").format(
            kind=kind_in_words(one.kind),
            opens=say(one.opens_at, now, zone).text,
            closes=say(one.closes_at, now, zone).text,
        )
        for one in found
    )
