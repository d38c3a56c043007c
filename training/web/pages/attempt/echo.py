"""The echo of what is being typed: its canonical form, or where it cannot be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from training.entry import read_plan
from training.refusals import LowerCasePlan, Refusal, UnreadablePlan
from training.web.saying.counting import count, told


@dataclass(frozen=True, slots=True)
class Echo:
    """What ``pages/attempt/echo.html`` needs.

    A readable plan has ``canonical`` and ``length``; an unreadable one is cut
    in three, the middle being what cannot be read, with ``message``. ``as_face_turns`` is set
    when all is in lower case.
    """

    canonical: str = ""
    length: str = ""
    free: str = ""
    before: str = ""
    bad: str = ""
    after: str = ""
    message: str = ""
    as_face_turns: str = ""


def free_words(rotations: Sequence[str]) -> str:
    """What the rotations of a plan cost, in words; empty where there are none.

    >>> free_words(["z2"])
    'z2 turns the cube and costs nothing'
    """
    if not rotations:
        return ""
    if len(rotations) == 1:
        return _("{rotation} turns the cube and costs nothing").format(rotation=rotations[0])
    return _("{number} rotations turn the cube and cost nothing").format(number=len(rotations))


def echo_of(written: str, *, strict: bool) -> Echo:
    """Read what is typed so far and say it back."""
    try:
        plan = read_plan(written, strict=strict)
    except LowerCasePlan as refusal:
        return Echo(
            as_face_turns=str(refusal.extras["as_face_turns"]), message=told(refusal.message)
        )
    except UnreadablePlan as refusal:
        return marked(written, refusal)
    return Echo(
        canonical=plan.canonical,
        length=_("{moves} so far").format(moves=count(plan.moves, "move")),
        free=free_words(plan.rotations),
    )


def marked(written: str, refusal: Refusal) -> Echo:
    """Cut an unreadable plan where it cannot be read; an echo without a mark for other refusals."""
    if not isinstance(refusal, UnreadablePlan):
        return Echo(message=told(refusal.message))
    position, token = int(refusal.extras["position"]), str(refusal.extras["token"])
    # The token of a very long piece is cut by the parser: mark what of it stands there.
    end = position
    while end < len(written) and end - position < len(token):
        if written[end] != token[end - position]:
            break
        end += 1
    end = max(end, min(position + 1, len(written)))
    return Echo(
        before=written[:position][-200:],
        bad=written[position:end],
        after=written[end : end + 200],
        message=told(refusal.message),
    )
