"""What a pasted list of people would make, line by line, before it is saved."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from training import names, policies, visibility
from training.models import Deed, Done, Group, Membership, Person, Plan
from training.people_lists import MOST_LINES, ListedPerson, read_list
from training.refusals import InvalidEntry
from training.selectors.sign_in_names import SignInNames

NameCheck = Callable[[str], str]
"""Says how a name is stored. Raises InvalidEntry for what is none."""

UNDO_FOR = timedelta(days=14)
"""So long after a list was saved it may be taken back, while nobody of it has signed in."""


@dataclass(frozen=True, slots=True)
class ListLine:
    """A line with what it would make. ``trouble``: why it cannot be saved, empty where it can."""

    number: int
    name: str
    sign_in_name: str
    group: str
    under_18: bool
    consent: str
    trouble: str

    @property
    def waits(self) -> bool:
        """Whether the account waits for a guardian's consent."""
        return self.under_18 and not self.consent


@dataclass(frozen=True, slots=True)
class ListPreview:
    """All lines. ``state``: another one once the list or what it would make changed."""

    lines: tuple[ListLine, ...]
    trouble: str
    state: str

    @property
    def may_be_saved(self) -> bool:
        return bool(self.lines) and not self.trouble and all(not one.trouble for one in self.lines)


def preview_of(viewer: Membership, text: str, check: NameCheck) -> ListPreview:
    """What a pasted text would make. Raises Sealed for no coach.

    ``check``: says of a name how it is stored, or why it is none. The number of
    queries does not grow with the list.
    """
    visibility.require_group(viewer)
    listed = read_list(text)
    trouble = ""
    if not listed:
        trouble = _("There is nobody in it. Write a line for each member.")
    elif len(listed) > MOST_LINES:
        trouble = _("These are {number} lines. At most {most} go in at once.").format(
            number=len(listed), most=MOST_LINES
        )
        listed = listed[:MOST_LINES]
    groups = {
        one.name.casefold(): one.name for one in Group.objects.of_club(viewer.club_id).in_use()
    }
    others = Membership.objects.filter(club=viewer.club_id).not_former()
    taken = {
        look: one
        for one in others.values_list("display_name", flat=True)
        for look in names.looks(one)
    }
    made = SignInNames(Person.objects.values_list("sign_in_name", flat=True).iterator())
    before: dict[str, int] = {}
    lines = []
    for one in listed:
        name, said = _checked(one, check, groups, taken, before)
        for look in names.looks(name) if name else ():
            before.setdefault(look, one.number)
        lines.append(
            ListLine(
                number=one.number,
                name=name or one.name,
                sign_in_name=made.make(name) if name and not said else "",
                group=groups.get(names.tidy(one.group).casefold(), one.group),
                under_18=bool(one.under_18),
                consent=one.consent,
                trouble=said,
            )
        )
    return ListPreview(tuple(lines), trouble, _state(lines))


def _checked(
    one: ListedPerson,
    check: NameCheck,
    groups: dict[str, str],
    taken: dict[str, str],
    before: dict[str, int],
) -> tuple[str, str]:
    """The name as it is stored, if it is one, and what is wrong with a line."""
    try:
        name = check(one.name)
    except InvalidEntry as refusal:
        return "", refusal.message
    for look in names.looks(name):
        if look in before:
            words = _("The same name, or one that looks like it, stands in line {number}.")
            return name, words.format(number=before[look])
        if look in taken:
            words = _("Somebody in this club is called {name}. Add a letter or an initial.")
            return name, words.format(name=taken[look])
    if one.too_many:
        return name, _("There are more columns than name, group, under 18 and consent.")
    if one.under_18 is None:
        return name, _("Under 18: write yes or no.")
    if one.group and names.tidy(one.group).casefold() not in groups:
        return name, _("There is no group called {group}. Make it first.").format(group=one.group)
    if one.consent and not one.under_18:
        return name, _("A consent stands here, but not that the member is under 18.")
    if len(one.consent) > MOST_CONSENT:
        return name, _("Who agreed and how: {most} letters at most.").format(most=MOST_CONSENT)
    return name, ""


MOST_CONSENT = 200


def _state(lines: Iterable[ListLine]) -> str:
    return hashlib.sha256(repr(list(lines)).encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class SavedList:
    """A list that was saved: by its first line of the log, with who came by it."""

    id: int
    saved_at: datetime
    members: tuple[Membership, ...]
    may_be_undone: bool


def newest_list(viewer: Membership, now: datetime) -> SavedList | None:
    """The list that was saved last in the club, by anybody; None without one lately.

    Two queries, four where there is one. Raises Sealed for no coach.
    """
    visibility.require_group(viewer)
    listed = Deed.objects.of_club(viewer.club).filter(what=Done.LISTED)
    newest = listed.filter(done_at__gt=now - UNDO_FOR).first()
    if newest is None:
        return None
    rows = listed.filter(done_at=newest.done_at, by=newest.by_id).select_related("whom__person")
    batch = sorted(rows, key=lambda one: one.pk)
    members = tuple(one.whom for one in batch if not policies.is_former(one.whom))
    return SavedList(
        id=batch[0].pk,
        saved_at=newest.done_at,
        members=tuple(sorted(members, key=lambda one: one.display_name.casefold())),
        may_be_undone=all_untouched(members),
    )


def all_untouched(members: Iterable[Membership]) -> bool:
    """Whether nobody of some has signed in, handed in, or belongs to another club. Two queries."""
    found = list(members)
    if not found or any(one.person.last_login is not None for one in found):
        return False
    people = [one.person_id for one in found]
    elsewhere = Membership.objects.filter(person__in=people).exclude(
        pk__in=[one.pk for one in found]
    )
    planned = Plan.objects.filter(membership__in=[one.pk for one in found])
    return not elsewhere.exists() and not planned.exists()
