"""The reader's own level beside a table: a line is found sooner, and means more, beside it."""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.own_level import level_before
from training.selectors.own_days import own_days
from training.selectors.table_rows import Table
from training.web.saying.levels import level_lines, mean_words


def own_level(viewer: Membership, table: Table, begins: date, now: datetime) -> tuple[str, ...]:
    """The own weeks before a day or a week that ``begins``; nothing for who has no line in it."""
    own = next((one.score for one in table.rows if one.own), None)
    if own is None or not own.crosses:
        return ()
    level = level_before(own_days(viewer, now, begins), begins, own.crosses)
    return level_lines(level, clock.local_date(now, viewer.club.zone))


def own_mean(table: Table) -> str:
    """Where a table of means, or its list of those not in all sets, has the reader; else empty."""
    among = table.rows if table.by_mean else table.late
    own = next((one for one in among if one.own), None)
    if own is None or own.mean is None:
        return ""
    said = mean_words(own.rank, len(among), own.mean, own.sets)
    if table.by_mean:
        return said
    return _("Not all sets of this week count for you. {place}").format(place=said)
