"""Forms made from the fields of settings, which send along what they showed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django import forms
from django.db import models
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from training.web.parts.fields import ChoicesBeside, time_input

Row = TypeVar("Row", bound=models.Model)

if TYPE_CHECKING:

    class _Form(forms.ModelForm[Row]):
        pass
else:

    class _Form(forms.ModelForm):
        def __class_getitem__(cls, _row: Any) -> type:
            return cls


class FormOfSettings(_Form[Row]):
    """Settings as they are stated with their fields; here is how they look.

    A coach changes what differs from what the page showed, not from what another
    coach has stored since: so the page sends along what it showed.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.show_hidden_initial = True
            field.widget = self._look(field)

    @staticmethod
    def _look(field: forms.Field) -> forms.Widget:
        widget: forms.Widget = field.widget
        if isinstance(field, forms.MultipleChoiceField):
            return ChoicesBeside(choices=list(field.widget.choices))
        if isinstance(field, forms.TimeField):
            return time_input()
        if not isinstance(widget, forms.RadioSelect | forms.CheckboxInput):
            widget.attrs["class"] = "input"
        if isinstance(field, forms.IntegerField):
            widget.attrs["inputmode"] = "numeric"
        return widget

    def shown_before(self) -> SafeString:
        """What groups of choices showed; single fields say it themselves."""
        groups = [one for one in self if one.field.widget.use_fieldset]
        return format_html_join("", "{}", ((one.as_hidden(only_initial=True),) for one in groups))

    def changes(self) -> dict[str, Any]:
        """What the coach changed, by name."""
        return {name: self.cleaned_data[name] for name in self.changed_data}
