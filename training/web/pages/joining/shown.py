"""A step of joining laid out, with what was answered at the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import QueryDict
from django.utils.translation import gettext as _

from training import retention
from training.models import Invite, Role
from training.web.pages.joining.forms import AgeForm, Step


@dataclass(frozen=True, slots=True)
class JoinShown:
    """What ``pages/joining/join.html`` needs beside the step's form.

    ``step`` is the one that is asked now. ``answered`` and ``kept`` go along in hidden fields: the
    names of the other steps that have been answered, and what was written in them. ``back_to``
    is the step before, empty at the first. ``access_days``: how long records of access are kept.
    """

    title: str
    place: str
    step: str
    answered: tuple[str, ...]
    kept: tuple[tuple[str, str], ...]
    back_to: str
    is_last: bool
    asks_age: bool
    access_days: int = retention.ACCESS_DAYS


def show_step(invite: Invite, steps: Sequence[Step], index: int, entered: QueryDict) -> JoinShown:
    """Lay out step ``index`` of ``steps``; ``entered``: the form sent last, empty at first."""
    here = steps[index]
    answered = {*entered.getlist("done")}
    if "back" not in entered:
        answered.add(entered.get("step", ""))
    others = [step for step in steps if step is not here]
    title = _("Join {club} as a coach") if invite.role == Role.COACH else _("Join {club}")
    return JoinShown(
        title=title.format(club=invite.club.name),
        place=_("Step {number} of {count}").format(number=index + 1, count=len(steps)),
        step=here.name,
        answered=tuple(step.name for step in others if step.name in answered),
        kept=tuple(
            (field, str(entered[field]))
            for step in others
            for field in step.form.base_fields
            if field in entered
        ),
        back_to=steps[index - 1].name if index else "",
        is_last=index == len(steps) - 1,
        asks_age=here.form is AgeForm,
    )
