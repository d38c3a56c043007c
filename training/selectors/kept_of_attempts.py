"""What a club keeps of the ways to somebody's plans, and of second looks at them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from training.models import CubeNote, Draft, Inspection, Membership, SecondLook


@dataclass(frozen=True, slots=True)
class KeptInspection:
    """How a scramble was inspected: the server's instants, and trips in milliseconds."""

    day: date
    number: int
    chosen: str
    begun_at: datetime
    begun_trip: int | None
    ended_at: datetime | None
    ended_trip: int | None
    looked_again_at: datetime | None


@dataclass(frozen=True, slots=True)
class KeptDraft:
    """What was written for a scramble and is not handed in."""

    day: date
    number: int
    written: str
    pair_written: str
    choice: str
    held: str
    written_at: datetime


@dataclass(frozen=True, slots=True)
class KeptCubeNote:
    """That the own cube differed from the picture of a scramble, as it was told to the coach."""

    day: date
    number: int
    told_at: datetime


@dataclass(frozen=True, slots=True)
class KeptSecondLook:
    """What was found on a second look at a plan, from which place, and with how many hints."""

    day: date
    number: int
    place: int
    moves: str
    hints: int
    found_at: datetime


@dataclass(frozen=True, slots=True)
class KeptOfAttempts:
    """All of it. ``inspects``, ``usual_hold``: what is offered again, as it was chosen last."""

    inspects: str
    usual_hold: str
    inspections: tuple[KeptInspection, ...]
    drafts: tuple[KeptDraft, ...]
    cube_notes: tuple[KeptCubeNote, ...]
    second_looks: tuple[KeptSecondLook, ...]


def kept_of_attempts(membership: Membership) -> KeptOfAttempts:
    """What is kept on the way to plans. Four queries."""
    of_scramble = "scramble__scramble_set__day", "scramble__number"
    own = {"membership": membership}
    inspections = Inspection.objects.filter(**own).values_list(
        *of_scramble,
        *("chosen", "begun_at", "begun_trip", "ended_at", "ended_trip", "looked_again_at"),
    )
    drafts = Draft.objects.filter(**own).values_list(
        *of_scramble, "written", "pair_written", "choice", "held", "written_at"
    )
    notes = CubeNote.objects.filter(**own).order_by("told_at").values_list(*of_scramble, "told_at")
    looks = (
        SecondLook.objects.filter(**own)
        .order_by("found_at")
        .values_list(*of_scramble, "place", "moves", "hints", "found_at")
    )
    return KeptOfAttempts(
        inspects=membership.inspects,
        usual_hold=membership.usual_hold,
        inspections=tuple(KeptInspection(*one) for one in inspections),
        drafts=tuple(KeptDraft(*one) for one in drafts),
        cube_notes=tuple(KeptCubeNote(*one) for one in notes),
        second_looks=tuple(KeptSecondLook(*one) for one in looks),
    )
