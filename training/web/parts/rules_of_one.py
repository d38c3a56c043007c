"""The rules that one set may have of its own where it is made by hand.

The fields are those of the settings, by the same names and words. Who leaves one out, as a page
does that was opened before it was asked, gets the club's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django import forms

from training.models import Club
from training.rules import SetRules

OWN_RULES = ("timing", "held")


def rule_field(name: str) -> forms.Field:
    """The field for one of :data:`OWN_RULES`."""
    field: forms.Field = Club._meta.get_field(name).formfield()  # type: ignore[union-attr, assignment]
    field.required = False
    field.widget.attrs["class"] = "input"
    return field


def rules_of_club(club: Club) -> dict[str, str]:
    """What the fields show at first."""
    return {name: getattr(club, name) for name in OWN_RULES}


def rules_entered(club: Club, entered: Mapping[str, Any]) -> SetRules:
    """The club's rules with what was chosen for one set."""
    return replace(club.rules, **{n: entered[n] for n in OWN_RULES if entered.get(n)})
