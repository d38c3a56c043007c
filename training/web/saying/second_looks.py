"""What is said when a plan is looked at again: a rotation that was forgotten, what was found."""

from __future__ import annotations

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.first_hold import with_rotation
from solverworker.cube.frames import frames
from solverworker.report import PlanReport
from training.selectors.second_looks import FoundAgain
from training.web.saying.counting import count
from training.web.saying.plans import colour_name
from training.web.saying.stories import set_as_moves


def forgotten_rotation(scramble: str, report: PlanReport) -> tuple[str, str] | None:
    """What to say first and alone where a rotation before the plan explains everything.

    A sentence that says what the plan would be worth, and one that says what it counts; None
    where no rotation makes it solve the cross.
    """
    hint = next((one for one in report.hints if one.kind == "held"), None)
    if hint is None or report.solved or not report.ledger:
        return None
    rotation = with_rotation(scramble, "", top=hint.top, front=hint.front)
    over = report.moves - report.best
    if over > 0:
        said = _("With {rotation} first, this plan solves in {moves}, {over} over the best.")
    else:
        said = _("With {rotation} first, this plan solves in {moves}, exactly the best.")
    (frame,) = frames(scramble, "", hint.colour)
    return (
        said.format(rotation=rotation, moves=report.moves, over=over),
        _(
            "It was read as held with {top} on top. As read it does not solve the cross; a coach "
            "can accept it with the rotation."
        ).format(top=colour_name(frame.centres[0])),
    )


def say_found_again(one: FoundAgain) -> SafeString:
    """What was found on a second look, and with how many hints.

    >>> say_found_again(FoundAgain(2, 3, "R' D", 1))
    'Found on the second look, from move 3: <b class="moves">R&#x27; D</b> (1 hint).'
    """
    if one.hints:
        said = _("Found on the second look, from move {number}: `{moves}` ({hints}).")
    else:
        said = _("Found on the second look, from move {number}: `{moves}`, without a hint.")
    return set_as_moves(
        said.format(number=one.number, moves=one.moves, hints=count(one.hints, "hint"))
    )
