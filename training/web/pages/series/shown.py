"""A series laid out: what it is called and does, and what may be done with it."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from training.models import Membership, Series
from training.web.saying.series import name_of, rule_in_words


@dataclass(frozen=True, slots=True)
class SeriesShown:
    """What ``pages/series/series.html`` needs. ``is_new``: none yet; ``may_go_on``: stopped."""

    title: str
    said: str
    is_new: bool
    may_stop: bool
    may_go_on: bool


def show_series(viewer: Membership, series: Series | None) -> SeriesShown:
    """Lay out a series, or the beginning of a new one (None)."""
    if series is None:
        said = _("Its sets issue themselves beside those of the other series.")
        return SeriesShown(_("Another series"), said, True, False, False)
    stopped = series.stopped_on is not None
    return SeriesShown(name_of(series), rule_in_words(series), False, not stopped, stopped)
