"""The form of a series: its days and hours, its crosses, its own rules."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy as _

from training.models import SERIES_SETTINGS, Group, Membership, Series
from training.models.settings import RulesOfSets
from training.web.parts.fields import ChoicesBeside, day_errors, day_input
from training.web.parts.setting_fields import FormOfSettings

if TYPE_CHECKING:
    SeriesOfForm = FormOfSettings[Series]
else:
    SeriesOfForm = FormOfSettings

RULES = tuple(field.name for field in RulesOfSets._meta.local_fields)


class SeriesForm(SeriesOfForm):
    """A series as its fields state it; a new one is asked from which day it holds."""

    begins_on = forms.DateField(
        label=_("First day"),
        widget=day_input(),
        error_messages=day_errors(_("Choose the first day.")),
    )
    groups = forms.ModelMultipleChoiceField(
        label=_("For whom"),
        help_text=_("None chosen: for everybody."),
        queryset=Group.objects.none(),
        required=False,
        widget=ChoicesBeside(),
        error_messages={"invalid_choice": _("Choose the groups from the list.")},
    )

    class Meta:
        model = Series
        fields = SERIES_SETTINGS
        widgets = {"spelling": forms.RadioSelect}

    field_order = ("begins_on", *SERIES_SETTINGS)

    def __init__(self, *args: Any, viewer: Membership, **kwargs: Any) -> None:
        instance: Series | None = kwargs.get("instance")
        groups = Group.objects.of_club(viewer.club).in_use()
        super().__init__(*args, **kwargs)
        if instance is not None and instance.pk:
            del self.fields["begins_on"]
        if not groups:
            del self.fields["groups"]
        else:
            self.fields["groups"].queryset = groups  # type: ignore[attr-defined]
            self.fields["groups"].widget = ChoicesBeside(
                choices=[(one.pk, one.name) for one in groups]
            )

    def about(self) -> list[BoundField]:
        """The fields that say when there is a set, and for whom."""
        return [one for one in self if one.name not in RULES]

    def rules(self) -> list[BoundField]:
        """The rules that hold where the club's do not."""
        return [self[name] for name in RULES]

    def changed_settings(self) -> dict[str, Any]:
        """What the coach changed of the settings, by name."""
        return {name: one for name, one in self.changes().items() if name in SERIES_SETTINGS}

    def chosen_groups(self) -> list[Group] | None:
        """For whom from now on; None where that was not changed."""
        if "groups" not in self.changed_data:
            return None
        return list(self.cleaned_data["groups"])
