"""How a club makes its daily sets; its days off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.html import format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from training.models import SETTINGS, Club
from training.web.parts.fields import ChoicesBeside, day_errors, day_input, text_input, time_input

if TYPE_CHECKING:
    ClubForm = forms.ModelForm[Club]
else:
    ClubForm = forms.ModelForm


class DayOffForm(forms.Form):
    """A date without a set; asked what to do with a set of that day that is open, if ``ask``."""

    day = forms.DateField(
        label=_("Day without a set"),
        widget=day_input(),
        error_messages=day_errors(_("Choose the date.")),
    )
    reason = forms.CharField(
        label=_("Why (members see it)"), max_length=80, required=False, widget=text_input()
    )
    open_set = forms.ChoiceField(
        label=_("That day’s set is open"),
        choices=[
            ("take_out", _("Take it out: it counts for nobody")),
            ("run_on", _("Let it run: only days without a set that has opened are off")),
        ],
        required=False,
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, ask: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not (ask or self.data.get("open_set")):
            del self.fields["open_set"]

    def entered(self) -> dict[str, Any]:
        """What the service takes."""
        entered = dict(self.cleaned_data)
        choice = entered.pop("open_set", "")
        return {**entered, "take_out": choice == "take_out" if choice else None}


class SettingsForm(ClubForm):
    """The settings of a club, as they are stated with its fields; here is how they look.

    A coach changes what differs from what the page showed, not from what another
    coach has stored since: so the page sends along what it showed.
    """

    class Meta:
        model = Club
        fields = SETTINGS
        widgets = {"spelling": forms.RadioSelect}

    field_order = (
        *("time_zone", "daily_weekdays", "daily_opens", "daily_closes", "daily_scrambles"),
        *SETTINGS,
    )

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
        if not isinstance(widget, forms.RadioSelect):
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
