"""What rows may hold, asked in a service's words: by their fields, and of any text."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models
from django.utils.translation import gettext as _

from training import clock
from training.models import Club, Group
from training.refusals import InvalidEntry
from training.texts import first_unstorable


def require_storable(text: str, field: str) -> str:
    """The text without the blanks around it. Raises InvalidEntry for what no database keeps."""
    if first_unstorable(text) is not None:
        raise InvalidEntry(_("There is an invisible character in it. Type it afresh."), field=field)
    return text.strip()


def require_valid(row: models.Model, names: Collection[str]) -> None:
    """Raise InvalidEntry, in the field's own words, at the first of ``names`` that is not valid.

    Also puts what is valid into its stored form, as lists into their order. Rules
    that hold between fields are asked too.
    """
    others = {field.name for field in row._meta.fields} - set(names)
    try:
        row.full_clean(exclude=others, validate_unique=False, validate_constraints=False)
    except ValidationError as error:
        name, said = next(iter(error.message_dict.items()))
        raise InvalidEntry(
            " ".join(said), field=None if name == NON_FIELD_ERRORS else name
        ) from None


def require_in_reach(day: date, field: str) -> None:
    """Raise InvalidEntry for a date of a year in which nothing is looked for."""
    if not clock.is_in_reach(day):
        raise InvalidEntry(
            _("Choose a date between {first} and {last}.").format(
                first=clock.YEARS[0], last=clock.YEARS[-1]
            ),
            field=field,
        )


def groups_of_club(club: Club, groups: Collection[Group]) -> list[Group]:
    """The groups, of which none is another club's. Raises InvalidEntry."""
    if not groups:
        return []
    found = list(Group.objects.filter(club=club, pk__in=[one.pk for one in groups]))
    if len(found) != len({one.pk for one in groups}):
        raise InvalidEntry(_("Choose the groups from the list."), field="groups")
    return found
