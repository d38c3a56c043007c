"""How a plan came about: how the cube was held, how long the inspection was, what is charged."""

from __future__ import annotations

from django.utils.translation import gettext as _

from solverworker.cube.first_hold import held_at
from training.selectors.plans import PlanView, State
from training.web.saying.holds import hold_words
from training.web.saying.inspections import inspection_words


def how_planned(scramble: str, plan: PlanView | None) -> tuple[str, ...]:
    """The sentences for ``parts/how_planned.html``; none for a plan without moves and time."""
    if plan is None:
        return ()
    said = []
    if plan.canonical:
        hold = held_at(scramble, plan.canonical)
        words = hold_words(hold.first)
        if hold.after:
            said.append(
                _("Held with {hold}, after {rotations}.").format(hold=words, rotations=hold.after)
            )
        else:
            said.append(_("Held with {hold}.").format(hold=words))
    if plan.inspection is not None:
        told = inspection_words(plan.inspection)
        said.append(_("Inspection: {words}.").format(words=told))
    if plan.out_of_time and plan.state == State.CHECKED:
        said.append(_("It counts 8: this set is timed only, and the plan has no time that counts."))
    return tuple(said)
