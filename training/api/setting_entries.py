"""Settings as programs send them: made from the fields of a model, where each is stated once.

So a new setting of a series is in the API by itself, with the limits of its field.
"""

from __future__ import annotations

from typing import Any

from django.db import models
from rest_framework import serializers

from training.api import fields
from training.models.fields import OneOf, ShortText, SomeOf, TimeOfDay, WholeNumber, YesOrNo

Entry = serializers.Field[Any, Any, Any, Any]


def entry_for(field: models.Field[Any, Any]) -> Entry:
    """What is sent for a setting; it may always be left out. Raises TypeError for no setting."""
    said: dict[str, Any] = {"required": False, "help_text": _words(field)}
    if isinstance(field, YesOrNo):
        return fields.YesOrNo(**said)
    if isinstance(field, TimeOfDay):
        return fields.TimeOfDay(**said)
    if isinstance(field, WholeNumber):
        said |= {"min_value": field.least, "max_value": field.most, "allow_null": field.null}
        return fields.WholeNumber(**said)
    if isinstance(field, SomeOf):
        known = [value for value, _label in field.options()]
        child: Entry = fields.OneOf(choices=known)
        if all(isinstance(one, int) for one in known):
            child = fields.WholeNumber(min_value=min(known), max_value=max(known))
        return fields.Texts(child=child, min_length=0 if field.blank else 1, **said)
    if isinstance(field, OneOf):
        return fields.OneOf(choices=[value for value, _label in field.flatchoices], **said)
    if isinstance(field, ShortText):
        return fields.Text(max_length=field.max_length, allow_blank=field.blank, **said)
    raise TypeError(f"{field} is no setting")


def entries_of(model: type[models.Model], names: tuple[str, ...]) -> dict[str, Entry]:
    """An entry for each of some settings of a model, by name."""
    return {name: entry_for(model._meta.get_field(name)) for name in names}  # type: ignore[arg-type]


def _words(field: models.Field[Any, Any]) -> str:
    return " ".join(str(one) for one in (f"{field.verbose_name}.", field.help_text) if one)
