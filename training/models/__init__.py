"""Everything that has a row in the database."""

from training.models.clubs import (
    Club,
    DayOff,
    Group,
    Invite,
    Membership,
    Role,
    Sight,
    Spelling,
    Standing,
)
from training.models.people import OwnerLink, Person, SignInCode
from training.models.plans import (
    MOST_ATTEMPTS,
    Heartbeat,
    Plan,
    PlanKind,
    PlanStatus,
    Verdict,
)
from training.models.rechecks import Recheck
from training.models.reviews import PracticeDue, ScrambleSummary, SetSummary, TechniqueCount
from training.models.sets import Drawn, Kind, Scramble, ScrambleSet

__all__ = [
    "MOST_ATTEMPTS",
    "Club",
    "DayOff",
    "Drawn",
    "Group",
    "Heartbeat",
    "Invite",
    "Kind",
    "Membership",
    "OwnerLink",
    "Person",
    "Plan",
    "PlanKind",
    "PlanStatus",
    "PracticeDue",
    "Recheck",
    "Role",
    "Scramble",
    "ScrambleSet",
    "ScrambleSummary",
    "SetSummary",
    "Sight",
    "SignInCode",
    "Spelling",
    "Standing",
    "TechniqueCount",
    "Verdict",
]
