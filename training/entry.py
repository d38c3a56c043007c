"""What somebody hands in for a scramble: the words as written, which choice, and what they mean.

The way of a plan's text: a page or the API makes an :class:`Entry` of what was sent; the service
asks whether it may come in, has it read once, and stores both, the words and the reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.cube import notation
from solverworker.tongue import Tongue
from training.refusals import (
    EmptyPlan,
    InvalidEntry,
    LowerCasePlan,
    PlanTooLong,
    UnreadablePlan,
)
from training.texts import first_unstorable

TONGUE = Tongue(_, ngettext)
"""The reader's tongue, for what the solver has to say."""

MOST_CHARACTERS = 2000
"""A plan of 80 tokens with a comment on each fits; a novel does not."""


class Choice(StrEnum):
    """What an entry is: moves, or one of the two choices for the empty plan."""

    MOVES = "moves"
    NO_PLAN = "no_plan"
    SOLVED = "solved"


@dataclass(frozen=True, slots=True)
class ReadPlan:
    """A plan as it was read: its canonical form, what it counts, the rotations in it."""

    canonical: str
    moves: int
    rotations: tuple[str, ...]


NOTHING = ReadPlan("", 0, ())
"""The reading of an entry without moves."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was sent. ``lower_case_meant``: asked about it, the member means two layers each."""

    written: str
    choice: Choice = Choice.MOVES
    lower_case_meant: bool = False

    @classmethod
    def of(
        cls, written: str, *, no_plan: bool, cross_is_solved: bool, lower_case_meant: bool = False
    ) -> Entry:
        """The entry of a form with a field for each choice. Raises InvalidEntry for both."""
        if no_plan and cross_is_solved:
            raise InvalidEntry(
                _("Choose one: the cross is already solved, or you have no plan."), field="plan"
            )
        choice = Choice.NO_PLAN if no_plan else Choice.SOLVED if cross_is_solved else Choice.MOVES
        return cls(written, choice, lower_case_meant)

    @property
    def no_plan(self) -> bool:
        return self.choice == Choice.NO_PLAN

    @property
    def kept(self) -> str:
        """The words to keep beside the reading: those of no plan mean nothing."""
        return "" if self.no_plan else self.written

    def read(self, *, strict: bool) -> ReadPlan:
        """What the entry means, moves and choice held against each other.

        Raises the refusals of :func:`read_plan`, EmptyPlan, and InvalidEntry for a contradiction.

        >>> Entry("R U'").read(strict=True).canonical
        "R U'"
        """
        if self.no_plan:
            if self.written.strip():
                raise InvalidEntry(
                    _(
                        "There are moves in the plan. Hand them in, or clear them to say that you "
                        "have no plan."
                    ),
                    field="plan",
                )
            return NOTHING
        plan = read_plan(self.written, strict=strict, lower_case_meant=self.lower_case_meant)
        if not plan.canonical and self.choice != Choice.SOLVED:
            raise EmptyPlan(
                _(
                    "There are no moves here. Write your plan, or say which it is: the cross is "
                    "already solved, or you have no plan."
                ),
                field="plan",
            )
        if plan.canonical and self.choice == Choice.SOLVED:
            raise InvalidEntry(
                _(
                    "There are moves in the plan. Hand them in, or clear them to say that the "
                    "cross is already solved."
                ),
                field="plan",
            )
        return plan


def read_plan(written: str, *, strict: bool, lower_case_meant: bool = False) -> ReadPlan:
    """Read what was typed; refuse what cannot be read.

    Raises UnreadablePlan, PlanTooLong or LowerCasePlan (all in lower case, and not said to be
    meant so), each with the words to show.

    >>> read_plan("z2 (r U)M'", strict=False)
    ReadPlan(canonical="z2 Rw U M'", moves=4, rotations=('z2',))
    """
    if len(written) > MOST_CHARACTERS:
        raise PlanTooLong(
            _(
                "This plan has {number} characters; {most} is the most. Write only the moves."
            ).format(number=f"{len(written):,}", most=f"{MOST_CHARACTERS:,}"),
            field="plan",
            kind="too_long",
            token="",
            position=MOST_CHARACTERS,
        )
    at = first_unstorable(written)
    if at is not None:
        raise UnreadablePlan(
            _("There is an invisible character at place {place}. Type the plan afresh.").format(
                place=at + 1
            ),
            field="plan",
            kind="unknown",
            token="",
            position=at,
        )
    try:
        tokens = notation.parse(written, strict=strict)
    except notation.NotationError as error:
        refusal = PlanTooLong if error.kind == "too_long" else UnreadablePlan
        raise refusal(
            error.in_words(TONGUE),
            field="plan",
            kind=error.kind,
            token=error.token,
            position=error.position,
        ) from None
    face_turns = notation.all_lower_case(written)
    if face_turns is not None and not lower_case_meant:
        raise LowerCasePlan(
            _(
                "All moves are in lower case, which turns two layers at once. Did you mean "
                "{moves}? Hand in the one you meant."
            ).format(moves=face_turns),
            field="plan",
            as_face_turns=face_turns,
        )
    return ReadPlan(
        canonical=notation.canonical(tokens),
        moves=notation.count_moves(tokens),
        rotations=tuple(str(token) for token in tokens if token.moves == 0),
    )
