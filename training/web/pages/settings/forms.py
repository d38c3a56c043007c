"""What holds for the sets of a club; its days off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import SETTINGS, Club
from training.web.parts.fields import day_errors, day_input, text_input
from training.web.parts.setting_fields import FormOfSettings

if TYPE_CHECKING:
    ClubForm = FormOfSettings[Club]
else:
    ClubForm = FormOfSettings


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
    """The settings of a club, as they are stated with its fields; here is how they look."""

    class Meta:
        model = Club
        fields = SETTINGS
        widgets = {"spelling": forms.RadioSelect}

    field_order = ("time_zone", *SETTINGS)
