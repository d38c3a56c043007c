"""The old place of the refusals, for the pages until they have moved."""

from training.refusals import (
    EmptyPlan,
    InvalidEntry,
    KeyReused,
    LinkUsedUp,
    LowerCasePlan,
    NotAllowed,
    PlanIsFinal,
    PlanTooLong,
    Refusal,
    SetClosed,
    UnreadablePlan,
)

__all__ = [
    "EmptyPlan",
    "InvalidEntry",
    "KeyReused",
    "LinkUsedUp",
    "LowerCasePlan",
    "NotAllowed",
    "PlanIsFinal",
    "PlanTooLong",
    "Refusal",
    "SetClosed",
    "UnreadablePlan",
]
