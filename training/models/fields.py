"""Fields of settings: each is stated once, where it is declared.

Label, help, limits, choices and what is said of a wrong entry stand with the
field; the form field made from it and the service that stores it take them from
there. Words are no part of the database, so a mended one needs no migration:
to migrations these are Django's own fields.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import time
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

    _Time = models.TimeField[str | time, time]
    _Text = models.CharField[str, str]
    _Number = models.PositiveSmallIntegerField[Any, Any]
    _Mark = models.BooleanField[bool, bool]
else:
    _Time, _Text, _Number = models.TimeField, models.CharField, models.PositiveSmallIntegerField
    _Mark = models.BooleanField

Options = Iterable[tuple[Any, "StrOrPromise"]]

_WORDS = {"verbose_name", "help_text", "error_messages", "choices", "validators"}


def _without_words(deconstructed: Any, as_field: str) -> Any:
    """What a field is to a migration: ``as_field`` of Django, without words."""
    name, _, args, kwargs = deconstructed
    kept = {key: value for key, value in kwargs.items() if key not in _WORDS}
    return name, f"django.db.models.{as_field}", args, kept


def _own_refusals(field: models.Field[Any, Any]) -> dict[str, Any]:
    """What was said of wrong entries where the field was declared."""
    return dict(field._error_messages or {})  # type: ignore[attr-defined]


class TimeOfDay(_Time):
    """A time on the club's clock, in hours and minutes."""

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "TimeField")

    def formfield(self, **kwargs: Any) -> Any:
        return super().formfield(**{"error_messages": _own_refusals(self), **kwargs})


class ShortText(_Text):
    """A line of text of people's own."""

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "CharField")


class YesOrNo(_Mark):
    """A mark that is set or not."""

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "BooleanField")


class ShownName(_Text):
    """What somebody is called by others; stored empty for a former member.

    Whoever reads one is told so in their own tongue, wherever the name stands.
    """

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "CharField")

    def from_db_value(self, value: str | None, expression: Any, connection: Any) -> str | None:
        return gettext("a former member") if value == "" else value


class OneOf(_Text):
    """One of the ``choices``, which may be a function that gives them."""

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "CharField")

    def formfield(self, **kwargs: Any) -> Any:
        if not self.blank:
            # A row has one already, so that no empty choice is offered beside the others.
            kwargs.setdefault("initial", None)
        return super().formfield(**{"error_messages": _own_refusals(self), **kwargs})


class WholeNumber(_Number):
    """A number from ``least`` to ``most``; ``refusal`` is said of any other."""

    def __init__(
        self, *args: Any, least: int = 0, most: int = 32767, refusal: Any = None, **kwargs: Any
    ) -> None:
        self.least, self.most = least, most
        self.bounds = [MinValueValidator(least, refusal), MaxValueValidator(most, refusal)]
        super().__init__(*args, **{"validators": self.bounds, **kwargs})

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "PositiveSmallIntegerField")

    def formfield(self, **kwargs: Any) -> Any:
        limits = {"min_value": self.least, "max_value": self.most}
        made = super().formfield(**{**limits, "error_messages": _own_refusals(self), **kwargs})
        assert made is not None
        # The limits are for the page; what is said beyond them is said here.
        made.validators = [*self.bounds]
        return made


class SomeOf(models.JSONField):
    """Some of the ``options``, as a list in their order, none of them twice."""

    def __init__(self, *args: Any, options: Callable[[], Options] = tuple, **kwargs: Any) -> None:
        self.options = options
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        return _without_words(super().deconstruct(), "JSONField")

    def to_python(self, value: Any) -> Any:
        """In the options' order. Raises ValidationError for what is not among them."""
        if value is None:
            return value
        known = [option for option, _ in self.options()]
        chosen = list(value) if isinstance(value, list | tuple | range) else [value]
        if not all(one in known for one in chosen):
            raise ValidationError(self.error_messages["invalid_choice"], code="invalid_choice")
        return [one for one in known if one in chosen]

    def formfield(self, **kwargs: Any) -> Any:
        options = list(self.options())
        made = {
            "form_class": forms.TypedMultipleChoiceField,
            "choices": options,
            "coerce": type(options[0][0]),
            "error_messages": _own_refusals(self),
        }
        # A JSON field's own form field takes text; everything else of it is wanted.
        return models.Field.formfield(self, **{**made, **kwargs})
