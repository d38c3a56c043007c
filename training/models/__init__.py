"""Everything that has a row in the database."""

from training.models.attempts import CubeNote, Draft, Inspection
from training.models.challenges import (
    SEASON_KINDS,
    Challenge,
    Confirmation,
    ConfirmedLine,
    Season,
)
from training.models.clubs import Club, DayOff
from training.models.corrections import Corrected, Correction
from training.models.counting import CountingPeriod
from training.models.deeds import Deed, Done
from training.models.devices import LEAST, Scope, SignedIn, TokenReach
from training.models.feeds import CalendarAddress
from training.models.groups import Group, GroupTime
from training.models.hooks import Delivery, Event, WebHook
from training.models.lessons import TaughtLesson
from training.models.members import COACHING_ROLES, Inspects, Invite, Membership, Role, Standing
from training.models.outlooks import TO_BE_MADE, Outlook
from training.models.people import OwnerLink, Person, SignInCode
from training.models.plans import (
    MOST_ATTEMPTS,
    PENDING,
    Heartbeat,
    Plan,
    PlanKind,
    PlanStatus,
    Verdict,
)
from training.models.posts import Post, Praise, PublicAddress, WorthAWord
from training.models.questions import LONGEST_QUESTION, Question
from training.models.rechecks import Recheck
from training.models.reviews import PracticeDue, ScrambleSummary, SetSummary, TechniqueCount
from training.models.second_looks import SecondLook
from training.models.series import SERIES_SETTINGS, OtherDay, Series
from training.models.sets import LESSON_KINDS, Drawn, GroupOfSet, Kind, Scramble, ScrambleSet
from training.models.settings import SETTINGS
from training.models.verifications import Derived, Difference, Verification
from training.models.windows import OwnWindow

__all__ = [
    "COACHING_ROLES",
    "LEAST",
    "LESSON_KINDS",
    "LONGEST_QUESTION",
    "MOST_ATTEMPTS",
    "PENDING",
    "SEASON_KINDS",
    "SERIES_SETTINGS",
    "SETTINGS",
    "TO_BE_MADE",
    "CalendarAddress",
    "Challenge",
    "Club",
    "Confirmation",
    "ConfirmedLine",
    "Corrected",
    "Correction",
    "CountingPeriod",
    "CubeNote",
    "DayOff",
    "Deed",
    "Delivery",
    "Derived",
    "Difference",
    "Done",
    "Draft",
    "Drawn",
    "Event",
    "Group",
    "GroupOfSet",
    "GroupTime",
    "Heartbeat",
    "Inspection",
    "Inspects",
    "Invite",
    "Kind",
    "Membership",
    "OtherDay",
    "Outlook",
    "OwnWindow",
    "OwnerLink",
    "Person",
    "Plan",
    "PlanKind",
    "PlanStatus",
    "Post",
    "PracticeDue",
    "Praise",
    "PublicAddress",
    "Question",
    "Recheck",
    "Role",
    "Scope",
    "Scramble",
    "ScrambleSet",
    "ScrambleSummary",
    "Season",
    "SecondLook",
    "Series",
    "SetSummary",
    "SignInCode",
    "SignedIn",
    "Standing",
    "TaughtLesson",
    "TechniqueCount",
    "TokenReach",
    "Verdict",
    "Verification",
    "WebHook",
    "WorthAWord",
]
