"""What rows may hold is stated with their fields; here it is asked in a service's words."""

from __future__ import annotations

from collections.abc import Collection

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models

from training.refusals import InvalidEntry


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
