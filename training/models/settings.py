"""What a coach may set of a club: the rules of its sets, its zone, its target.

A setting is one field of these classes. The page's form, the service that
stores it and, where it is a rule of sets, each new set and the API follow from
it (see DEVELOPERS.md, "To add something").
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.dates import WEEKDAYS
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from solverworker.report import COLOURS
from training import clock
from training.models.fields import OneOf, SomeOf, WholeNumber
from training.rules import Held, SetRules, Sight, Spelling, Timing

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

MOST_SCRAMBLES = 12
"""Most scrambles in one set."""

SCRAMBLES_OUT_OF_BOUNDS = format_lazy(
    _("A set has between 1 and {most} scrambles."), most=MOST_SCRAMBLES
)

SIGHTS = [
    (Sight.OPEN.value, _("as soon as the set opens")),
    (Sight.OWN_PLAN.value, _("once their own plan is in")),
    (Sight.CLOSING.value, _("once the set has closed")),
    (Sight.COACHES.value, _("never: to coaches only")),
]
SPELLINGS = [
    (Spelling.CLUB.value, _("club spelling: also r, M, R3 and moves run together")),
    (Spelling.STRICT.value, _("strict: WCA Article 12 only")),
]
TIMINGS = [
    (Timing.EITHER.value, _("timed or untimed")),
    (Timing.TIMED.value, _("timed only, 15 seconds")),
    (Timing.UNTIMED.value, _("untimed")),
]
HOLDS_OF_PLANS = [
    (Held.WRITTEN.value, _("as the plan is written")),
    (Held.FREE.value, _("as each member likes")),
]
_COLOUR_NAMES = {
    "white": _("white"),
    "yellow": _("yellow"),
    "green": _("green"),
    "blue": _("blue"),
    "red": _("red"),
    "orange": _("orange"),
}


def every_day() -> list[int]:
    """All seven weekdays, Monday = 0."""
    return list(range(7))


def white_only() -> list[str]:
    """The colour that most clubs start with."""
    return ["white"]


def colour_options() -> Iterator[tuple[str, StrOrPromise]]:
    """The cross colours with their names, in the order in which ties are broken."""
    return ((colour, _COLOUR_NAMES[colour]) for colour in COLOURS)


def weekday_options() -> Iterator[tuple[int, str]]:
    return iter(WEEKDAYS.items())


def zone_choices() -> list[tuple[str, list[tuple[str, str]] | str]]:
    """The time zones that a club may choose, by region.

    In its region a zone goes by its place alone, which a phone has room for; two of one name, as
    the Eastern time of two countries, keep the region.

    >>> regions = dict(zone_choices())
    >>> dict(regions["Europe"])["Europe/Oslo"], dict(regions["Canada"])["Canada/Eastern"]
    ('Oslo', 'Canada/Eastern')
    """
    places = Counter(name.partition("/")[2] for name in clock.zones())
    regions: dict[str, list[tuple[str, str]]] = defaultdict(list)
    alone: list[tuple[str, list[tuple[str, str]] | str]] = []
    for name in clock.zones():
        region, _slash, place = name.partition("/")
        if not place:
            alone.append((name, name))
            continue
        said = place if places[place] == 1 else name
        regions[region].append((name, said.replace("_", " ")))
    return [*regions.items(), *alone]


class RulesOfSets(models.Model):
    """The rules of a set as columns: of a club for its next sets, of a set for good."""

    colours = SomeOf(
        _("Cross colours allowed"),
        options=colour_options,
        default=white_only,
        error_messages={
            "required": _("Allow at least one cross colour."),
            "blank": _("Allow at least one cross colour."),
            "invalid_choice": _("Choose the cross colours from the list."),
        },
    )
    spelling = OneOf(
        _("How plans are spelled"),
        max_length=6,
        choices=SPELLINGS,
        default=Spelling.CLUB.value,
        error_messages={"invalid_choice": _("Choose a spelling from the list.")},
    )
    answers_to = OneOf(
        _("Best, moves lost and shortest ways open to members"),
        max_length=8,
        choices=SIGHTS,
        default=Sight.OWN_PLAN.value,
        error_messages={"invalid_choice": _("Choose from the list when answers open.")},
    )
    table_to = OneOf(
        _("The table opens to members"),
        help_text=_("Never before the answers: moves over the best give them away."),
        max_length=8,
        choices=SIGHTS,
        default=Sight.OWN_PLAN.value,
        error_messages={"invalid_choice": _("Choose from the list when the table opens.")},
    )

    best_sets_counted = WholeNumber(
        _("Best sets of a week that count"),
        help_text=_("Empty: all of them. A week keeps to what its first set opened with."),
        least=1,
        most=14,
        refusal=_("Between 1 and 14 sets of a week count. Leave it empty to let all count."),
        null=True,
        blank=True,
    )

    timing = OneOf(
        _("Inspection"),
        help_text=_(
            "Timed or untimed: as each member likes. Timed only: a plan from 17 seconds on (WCA "
            "A4d), with a second look at the scramble, or whose inspection has no end counts 8."
        ),
        max_length=7,
        choices=TIMINGS,
        default=Timing.EITHER.value,
        error_messages={"invalid_choice": _("Choose from the list how inspection is timed.")},
    )
    held = OneOf(
        _("How the cube is held"),
        help_text=_(
            "As written: rotations in the plan say it. As each member likes: top and front are "
            "told beside the plan."
        ),
        max_length=7,
        choices=HOLDS_OF_PLANS,
        default=Held.WRITTEN.value,
        error_messages={"invalid_choice": _("Choose from the list how the cube is held.")},
    )

    class Meta:
        abstract = True

    @property
    def rules(self) -> SetRules:
        """The rules as one value."""
        columns = {name: getattr(self, name) for name in SetRules.__slots__}
        frozen: dict[str, Any] = {
            n: tuple(v) if isinstance(v, list) else v for n, v in columns.items()
        }
        return SetRules(**frozen)

    def clean(self) -> None:
        """Raise ValidationError when the table could open before the answers."""
        super().clean()
        sights = (self.table_to, self.answers_to)
        if set(sights) <= set(Sight) and Sight(sights[0]).is_before(Sight(sights[1])):
            raise ValidationError(
                {
                    "table_to": _(
                        "The table cannot open before the answers: moves and excess give the best "
                        "away. Choose the same time or a later one."
                    )
                }
            )


def columns_of(rules: SetRules) -> dict[str, Any]:
    """The rules as they stand in the columns of a set."""
    values = {name: getattr(rules, name) for name in SetRules.__slots__}
    return {n: list(v) if isinstance(v, tuple) else v for n, v in values.items()}


class ClubSettings(RulesOfSets):
    """What holds in the whole club: its zone, its rules of sets, its target.

    The rules are those of homework and practice, and of each series that has none
    of its own. ``technique_target``: how often, in 100, the group should answer a
    technique.
    """

    time_zone = OneOf(
        _("Time zone"),
        max_length=64,
        choices=zone_choices,
        error_messages={"invalid_choice": _("Choose a time zone from the list.")},
    )
    technique_target = WholeNumber(
        _("Target for each idea, out of 100"),
        help_text=_(
            "Of 100 times that an idea is called for, how often the group should answer it. "
            "Below that, the group review says that the group itself lacks the idea."
        ),
        least=1,
        most=99,
        refusal=_("The target is between 1 and 99 out of 100."),
        default=70,
    )

    class Meta:
        abstract = True

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


SETTINGS = tuple(field.name for field in ClubSettings._meta.local_fields)
"""The names of all settings, in the order in which they are declared."""
