"""Entries that programs send, each refused in a sentence of our own.

Most are for what comes in: what goes out is not checked.
"""

from __future__ import annotations

from typing import Any, ClassVar, NoReturn

from django.core.validators import ProhibitNullCharactersValidator
from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import fields, serializers
from rest_framework.validators import ProhibitSurrogateCharactersValidator

_MISSING = {
    "required": _("This is missing. Send it along."),
    "null": _("This is null. Send a value, or leave it out where it may be left out."),
}


class NoNull(ProhibitNullCharactersValidator):
    message = _("There is an invisible character (U+0000) in it. Take it out.")


class NoHalfCharacter(ProhibitSurrogateCharactersValidator):
    """Half of a character, such as ``\\ud800``: JSON can spell it, and no text has it."""

    message = _("There is half a character in it (U+{code_point:X}). Take it out.")


class Text(fields.CharField):
    default_error_messages = {
        **_MISSING,
        "invalid": _("This has to be text. Put it in quotes."),
        "blank": _("This is empty. Write something."),
        "max_length": _("This is too long: {max_length} characters are the most. Shorten it."),
        "min_length": _("This is too short: {min_length} characters are the least."),
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        # The framework has put its own here, in its own words.
        theirs = (ProhibitNullCharactersValidator, ProhibitSurrogateCharactersValidator)
        kept = [one for one in self.validators if type(one) not in theirs]
        self.validators = [*kept, NoNull(), NoHalfCharacter()]


class Texts(fields.ListField):
    """Some texts, each a ``child``."""

    default_error_messages = {
        **_MISSING,
        "not_a_list": _("This has to be a list. Put the texts between square brackets."),
        "empty": _("This list is empty. Name one at least, or leave it out."),
        "min_length": _("These are too few: {min_length} are the least."),
        "max_length": _("These are too many: {max_length} are the most."),
    }


class Key(fields.UUIDField):
    default_error_messages = {
        **_MISSING,
        "invalid": _("This is no UUID. Make one, and a new one for each plan."),
    }


class Instant(fields.DateTimeField):
    """An instant, as RFC 3339 writes it."""

    default_error_messages = {
        **_MISSING,
        "invalid": _("This is no instant. Write it as 2026-11-25T19:30:00Z."),
        "date": _("The time of day is missing. Write it as 2026-11-25T19:30:00Z."),
        "make_aware": _("There is no such time in that zone. Send it with its offset, or in UTC."),
        "overflow": _("This lies outside the calendar. Send an instant of these years."),
    }


class Day(fields.DateField):
    """A date of the club's calendar, as RFC 3339 writes it."""

    default_error_messages = {
        **_MISSING,
        "invalid": _("This is no date. Write it as 2026-11-25."),
        "datetime": _("There is a time of day in it. Write the date alone, as 2026-11-25."),
    }


@extend_schema_field({"type": "string", "pattern": r"^([01]\d|2[0-3]):[0-5]\d(:00)?$"})
class TimeOfDay(fields.TimeField):
    """A time on the club's own clock, in hours and minutes: no instant, so without an offset."""

    default_error_messages = {
        **_MISSING,
        "invalid": _("This is no time of day. Write it as 18:30."),
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%H:%M", **kwargs)


class YesOrNo(fields.BooleanField):
    default_error_messages = {
        **_MISSING,
        "invalid": _("This has to be true or false."),
    }


class WholeNumber(fields.IntegerField):
    default_error_messages = {
        **_MISSING,
        "invalid": _("This has to be a whole number."),
        "max_value": _("This is too large: {max_value} is the most."),
        "min_value": _("This is too small: {min_value} is the least."),
        "max_string_length": _("This number has too many digits. Send a smaller one."),
    }


class OneOf(fields.ChoiceField):
    """One of some words; the refusal names them all."""

    default_error_messages = {
        **_MISSING,
        "invalid_choice": _("This is none of the words taken here: {choices}. Send one of them."),
    }

    def fail(self, key: str, **found: Any) -> NoReturn:
        super().fail(key, choices=", ".join(map(str, self.choices)), **found)


class Entries(serializers.Serializer[Any]):
    """What is sent in one go: a JSON object of entries."""

    default_error_messages: ClassVar[dict[str, Any]] = {
        **_MISSING,
        "invalid": _("Send one JSON object, with a name for each entry."),
    }
