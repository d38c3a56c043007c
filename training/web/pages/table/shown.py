"""A table laid out for its page: what it is of, columns, lines, and the rule in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import clock
from training.models import Membership
from training.rules import Sight, Timing
from training.selectors.set_heads import SetHead
from training.selectors.table_rows import Period, Table
from training.selectors.tables import GroupAsked
from training.visibility import sees_group
from training.web.navigation import Link
from training.web.pages.table.lines import Ranked, not_ranked, ranked
from training.web.pages.table.timed import TimedLine
from training.web.pages.table.whose import query_of, set_links
from training.web.parts.set_cards import table_href
from training.web.parts.whose_table import GroupTab, WhoseTable, group_links, group_rule
from training.web.saying.corrections import note_words
from training.web.saying.counting import count, listed
from training.web.saying.rates import of
from training.web.saying.times import WEEKDAYS, Said, say, say_date

_OPENS = {
    Sight.OPEN: gettext_lazy("The table is open."),
    Sight.OWN_PLAN: gettext_lazy(
        "A set’s table opens to you once all your plans of it are in, or when it closes."
    ),
    Sight.CLOSING: gettext_lazy("A set’s table opens when the set has closed."),
    Sight.COACHES: gettext_lazy("The table is for the coaches."),
}


@dataclass(frozen=True, slots=True)
class SealedSets:
    """Sets whose table is not open to the reader yet: their days, and when it opens."""

    days: str
    opens: str


@dataclass(frozen=True, slots=True)
class TableShown:
    """What ``pages/table/table.html`` needs.

    ``of``: the time that the table is of; ``closes``: that of a day's set; ``status``: how many
    have handed in, empty while nobody is ranked. ``late``: for whom some sets of the week do not
    count, in a list of their own; ``outside``: for whom none does. ``under_way``: who is still
    planning, and why they have no rank. ``level``: the reader's own weeks before; ``place``: their
    own mean, plainly. ``rule`` is printed under all. ``notes``: what was corrected; ``empty``: why
    there is nothing to read.
    ``result_href``: where what is confirmed of a challenge is read, empty for other tables.
    """

    title: str
    of: str
    closes: Said | None
    closes_verb: str
    status: str
    whose: tuple[GroupTab, ...]
    of_sets: tuple[Link, ...]
    periods: tuple[Link, ...]
    around: tuple[Link, ...]
    ranked: Ranked
    late: Ranked
    under_way: Ranked
    under_way_why: str
    outside: Ranked
    to_come: str
    level: tuple[str, ...]
    rule: str
    notes: tuple[str, ...]
    sealed: tuple[SealedSets, ...]
    empty: str
    timed: tuple[TimedLine, ...] = ()
    place: str = ""
    result_href: str = ""


# The three tables --------------------------------------------------------------------


def show_day(
    viewer: Membership,
    table: Table,
    day: date,
    around: tuple[date | None, date | None],
    now: datetime,
    whose: WhoseTable,
) -> TableShown:
    """Lay out the table of the sets that close on ``day``; ``around``: the days before, after."""
    before, after = around
    return _show(
        viewer,
        table,
        now,
        title=_("{weekday}’s table").format(weekday=WEEKDAYS[day.weekday()]),
        of=say_date(day, _today(viewer, now)),
        anchor=day,
        around=(
            (_("The day before"), "table_day", before),
            (_("The day after"), "table_day", after),
        ),
        whose=whose,
    )


def show_set(
    viewer: Membership,
    table: Table,
    head: SetHead,
    around: tuple[SetHead | None, SetHead | None],
    now: datetime,
    *,
    challenge_id: int | None = None,
) -> TableShown:
    """Lay out the table of one set alone; ``around``: the sets before and after it.

    ``challenge_id``: whose set it is, if that of a challenge.
    """
    slug, today = viewer.club.slug, _today(viewer, now)
    shown = _show(
        viewer,
        table,
        now,
        title=_("Table: {set}").format(set=head.title),
        of=say_date(head.day, today),
        anchor=head.closing_day,
        around=(),
    )
    links = tuple(
        Link(
            words.format(set=one.title, day=say_date(one.day, today)), table_href(slug, one), False
        )
        for words, one in zip(
            (_("Before: {set}, {day}"), _("After: {set}, {day}")), around, strict=True
        )
        if one is not None
    )
    own = Link(head.title, reverse("table_set", args=[slug, head.id]), True)
    day, *others = shown.periods
    return replace(
        shown,
        result_href=reverse("challenge", args=[slug, challenge_id]) if challenge_id else "",
        around=links,
        periods=(own, Link(day.text, reverse("table", args=[slug]), False), *others),
    )


def show_week(
    viewer: Membership, table: Table, monday: date, now: datetime, whose: WhoseTable
) -> TableShown:
    """Lay out the table of the week that begins on ``monday``."""
    today = _today(viewer, now)
    following = monday + timedelta(days=7)
    return _show(
        viewer,
        table,
        now,
        title=_("The week’s table"),
        of=_("{first_day} to {last_day}").format(
            first_day=say_date(monday, today),
            last_day=say_date(monday + timedelta(days=6), today),
        ),
        anchor=today,
        around=(
            (_("The week before"), "table_week", monday - timedelta(days=7)),
            (_("The week after"), "table_week", following if following <= today else None),
        ),
        whose=whose,
    )


def show_all_time(viewer: Membership, table: Table, now: datetime, whose: WhoseTable) -> TableShown:
    """Lay out the table of all time."""
    return _show(
        viewer,
        table,
        now,
        title=_("All-time table"),
        of=_("All random sets that have closed"),
        anchor=_today(viewer, now),
        around=(),
        whose=whose,
    )


def _today(viewer: Membership, now: datetime) -> date:
    return clock.local_date(now, viewer.club.zone)


def _show(
    viewer: Membership,
    table: Table,
    now: datetime,
    *,
    title: str,
    of: str,
    anchor: date,
    around: Sequence[tuple[str, str, date | None]],
    whose: WhoseTable | None = None,
) -> TableShown:
    slug = viewer.club.slug
    query = query_of(whose.asked) if whose else ""
    last = table.sets[-1] if table.sets and table.period == "day" else None
    return TableShown(
        title=title,
        of=of,
        closes=say(last.closes_at, now, viewer.club.zone) if last else None,
        closes_verb=_("closed") if last and last.has_closed else _("closes"),
        status=_status(table) if table.rows or table.under_way else "",
        whose=group_links(whose) if whose else (),
        of_sets=set_links(whose.asked) if whose else (),
        periods=_periods(slug, table.period, anchor, query),
        around=tuple(
            Link(words, f"{reverse(name, args=[slug, day])}{query}", False)
            for words, name, day in around
            if day is not None
        ),
        ranked=ranked(viewer, table, table.rows, title, by_mean=table.by_mean),
        late=ranked(viewer, table, table.late, _("Not in all sets of the week"), by_mean=True),
        under_way=not_ranked(viewer, table, table.under_way, _("So far, without a rank")),
        under_way_why=_under_way(table, viewer),
        outside=not_ranked(viewer, table, table.outside, _("Without a rank")),
        to_come=listed(table.to_come),
        level=(),
        rule=_rule(table, whose.asked if whose else None),
        notes=tuple(
            note_words(one, now, viewer.club.zone, among_several=len(table.sets) > 1)
            for one in table.corrections
        ),
        sealed=_sealed(table.sealed, viewer, _today(viewer, now)),
        empty=_empty(table),
    )


def _periods(slug: str, here: Period, anchor: date, query: str) -> tuple[Link, ...]:
    """The ways to the tables of a day, the week around ``anchor``, all time."""
    day = (
        reverse("table_day", args=[slug, anchor])
        if here == "day" or query
        else reverse("table", args=[slug])
    )
    week = reverse("table_week", args=[slug, anchor])
    return (
        Link(_("Day"), f"{day}{query}", here == "day"),
        Link(_("Week"), f"{week}{query}", here == "week"),
        Link(_("All time"), f"{reverse('table_all', args=[slug])}{query}", here == "all"),
    )


def _sealed(heads: Sequence[SetHead], viewer: Membership, today: date) -> tuple[SealedSets, ...]:
    days: dict[str, list[str]] = {}
    for head in heads:
        sight = Sight(head.table_to)
        if sight == Sight.COACHES and sees_group(viewer):
            # A coach who competes gets there as members do under "own plan".
            sight = Sight.OWN_PLAN
        those = days.setdefault(str(_OPENS[sight]), [])
        day = say_date(head.day, today)
        if day not in those:
            those.append(day)
    return tuple(SealedSets(listed(those), opens) for opens, those in days.items())


def _empty(table: Table) -> str:
    if table.sealed or table.rows or table.late or table.to_come:
        return ""
    if table.under_way or table.outside:
        return ""
    if table.sets:
        return _("Nobody competes here yet.")
    return _("No set has closed yet.") if table.by_mean else _("There is no set in this time.")


def _under_way(table: Table, viewer: Membership) -> str:
    """Why the lines so far have no rank."""
    if any(one.membership_id == viewer.pk for one in table.rows):
        return _(
            "While a set is open, you are ranked only among those who have as many crosses in as "
            "you."
        )
    return _("While a set is open, only those have a rank who have all their plans in.")


# Sentences -----------------------------------------------------------------------------


def _rule(table: Table, asked: GroupAsked | None) -> str:
    return f"{rule_words(table)} {group_rule(asked.group if asked else None)}".strip()


def rule_words(table: Table) -> str:
    """The rule that made this table, in words."""
    said = [
        _(
            "Fewest moves over the best come first; then more crosses solved; then more solved "
            "exactly at the best; equal results share a rank."
        ),
        _("A cross not solved counts 8, and no cross counts more than 8."),
    ]
    if any(one.timing == Timing.TIMED for one in table.sets):
        said.append(
            _(
                "In a set that is timed only, a plan counts 8 from 17 seconds of inspection on, "
                "with a second look, or without an end of inspection."
            )
        )
    if table.period == "week":
        if table.best_sets_counted is None:
            said.append(_("All sets of the week count."))
        else:
            best = count(table.best_sets_counted, "set")
            said.append(_("The best {sets} of the week count.").format(sets=best))
        said.append(_("A week runs Monday to Sunday by the day on which a set closes."))
    if table.by_mean:
        said.append(_("Members are ranked by the mean over the sets that count for them."))
    said.append(
        _(
            "A set counts for whoever belonged to this club from its opening to its closing: "
            "let in, with a guardian’s consent where one is needed, and signed in once."
        )
    )
    if table.so_far:
        said.append(_("A missing plan counts 8 only once its set has closed."))
    return " ".join(said)


def _status(table: Table) -> str:
    members = of(table.handed_in, table.expected)
    often = _("{members} handed in at least once") if table.by_mean else _("{members} handed in")
    said = [often.format(members=members)]
    if table.pending:
        said.append(_("{plans} not checked yet").format(plans=count(table.pending, "plan")))
    if table.so_far:
        said.append(_("totals so far"))
    return " · ".join(said)
