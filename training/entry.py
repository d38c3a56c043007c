"""What somebody hands in for a scramble: the words as written, which choice, and what they mean.

The way of a plan's text: a page or the API makes an :class:`Entry` of what was sent; the service
asks whether it may come in, has it read once, and stores both, the words and the reading.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.cube import notation
from solverworker.cube.first_hold import HOLDS_BY_COLOURS, TopAndFront, with_rotation
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

PAIR_AHEAD = "pair_ahead"
"""The entry for the first pair, by the name that forms and API give it."""

HELD = "held"
"""The entry for the colours on top and in front, by its name in forms and API."""

MOST_CHARACTERS = 2000
"""A plan of 80 tokens with a comment on each fits; a novel does not."""


class Choice(StrEnum):
    """What an entry is: moves, or one of the two choices for the empty plan."""

    MOVES = "moves"
    NO_PLAN = "no_plan"
    SOLVED = "solved"


@dataclass(frozen=True, slots=True)
class ReadPlan:
    """A plan as it was read: its canonical form, what it counts, the rotations in it.

    ``pair``: the moves for the first pair, where they were written too. ``turned``: the rotations
    that were told beside the plan, as two colours, and begin its canonical form.
    """

    canonical: str
    moves: int
    rotations: tuple[str, ...]
    pair: ReadPlan | None = None
    turned: str = ""

    @property
    def pair_canonical(self) -> str:
        """The canonical form of the pair; empty for none."""
        return self.pair.canonical if self.pair is not None else ""


NOTHING = ReadPlan("", 0, ())
"""The reading of an entry without moves."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was sent. ``lower_case_meant``: asked about it, the member means two layers each.

    ``pair``: the moves for the first pair after the cross, for whoever looks so far ahead.
    ``held``: the colours on top and in front at the start, ``"yellow green"``, where the set has
    that told beside the plan; empty: as the scramble leaves it.
    """

    written: str
    choice: Choice = Choice.MOVES
    lower_case_meant: bool = False
    pair: str = ""
    held: str = ""

    @classmethod
    def of(
        cls,
        written: str,
        *,
        no_plan: bool,
        cross_is_solved: bool,
        lower_case_meant: bool = False,
        pair: str = "",
        held: str = "",
    ) -> Entry:
        """The entry of a form with a field for each choice. Raises InvalidEntry for both."""
        if no_plan and cross_is_solved:
            raise InvalidEntry(
                _("Choose one: the cross is already solved, or you have no plan."), field="plan"
            )
        choice = Choice.NO_PLAN if no_plan else Choice.SOLVED if cross_is_solved else Choice.MOVES
        return cls(written, choice, lower_case_meant, pair, held)

    @property
    def no_plan(self) -> bool:
        return self.choice == Choice.NO_PLAN

    @property
    def kept(self) -> str:
        """The words to keep beside the reading: those of no plan mean nothing."""
        return "" if self.no_plan else self.written

    @property
    def pair_kept(self) -> str:
        """The same of the pair."""
        return "" if self.no_plan else self.pair

    @property
    def held_kept(self) -> str:
        """The same of how the cube is held."""
        return "" if self.no_plan else self.held

    def read(self, *, strict: bool, freely_from: str | None = None) -> ReadPlan:
        """What the entry means, moves and choice held against each other.

        ``freely_from``: the scramble, where two colours beside the plan say how it is held.
        Raises the refusals of :func:`read_plan`, EmptyPlan, and InvalidEntry for a contradiction.

        >>> Entry("R U'").read(strict=True).canonical
        "R U'"
        """
        if self.no_plan:
            if self.pair.strip():
                raise InvalidEntry(
                    _(
                        "There are moves for the first pair. Clear them to say that you have no "
                        "plan."
                    ),
                    field=PAIR_AHEAD,
                )
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
        plan = replace(plan, pair=self._read_pair(strict=strict))
        return self._as_held(plan, freely_from) if self.held else plan

    def _as_held(self, plan: ReadPlan, scramble: str | None) -> ReadPlan:
        """The plan with the rotations before it that its hold means."""
        if scramble is None:
            raise InvalidEntry(
                _("In this set the plan itself says how the cube is held: write the rotation."),
                field=HELD,
            )
        hold = hold_of(self.held)
        turned = with_rotation(scramble, "", top=hold.top, front=hold.front)
        # Nothing to turn is held nowhere: the cross is solved as it lies.
        if not turned or not plan.canonical:
            return plan
        return replace(plan, canonical=f"{turned} {plan.canonical}", turned=turned)

    def _read_pair(self, *, strict: bool) -> ReadPlan | None:
        """The reading of the pair; None where there are no moves for one."""
        if not self.pair.strip():
            return None
        read = read_plan(
            self.pair,
            strict=strict,
            lower_case_meant=self.lower_case_meant,
            field=PAIR_AHEAD,
        )
        return read if read.canonical else None


def hold_of(held: str) -> TopAndFront:
    """The hold that two colours name. Raises InvalidEntry where no cube can be held so.

    >>> hold_of("yellow green")
    TopAndFront(top='yellow', front='green')
    """
    top, _space, front = held.partition(" ")
    hold = TopAndFront(top, front)
    if hold not in HOLDS_BY_COLOURS:
        raise InvalidEntry(
            _("No cube can be held so. Choose a colour in front that lies beside the one on top."),
            field=HELD,
        )
    return hold


def read_plan(
    written: str, *, strict: bool, lower_case_meant: bool = False, field: str = "plan"
) -> ReadPlan:
    """Read what was typed; refuse what cannot be read.

    ``field``: the entry that it stands in, ``"plan"`` or :data:`PAIR_AHEAD`. Raises
    UnreadablePlan, PlanTooLong or LowerCasePlan (all in lower case, and not said to be meant so),
    each with the words to show.

    >>> read_plan("z2 (r U)M'", strict=False)
    ReadPlan(canonical="z2 Rw U M'", moves=4, rotations=('z2',), pair=None, turned='')
    """
    if len(written) > MOST_CHARACTERS:
        raise PlanTooLong(
            _(
                "There are {number} characters here; {most} is the most. Write only the moves."
            ).format(number=f"{len(written):,}", most=f"{MOST_CHARACTERS:,}"),
            field=field,
            kind="too_long",
            token="",
            position=MOST_CHARACTERS,
        )
    at = first_unstorable(written)
    if at is not None:
        raise UnreadablePlan(
            _("There is an invisible character at place {place}. Type the moves afresh.").format(
                place=at + 1
            ),
            field=field,
            kind="unknown",
            token="",
            position=at,
        )
    try:
        tokens = notation.parse(
            written, strict=strict, where="pair plan" if field == PAIR_AHEAD else "plan"
        )
    except notation.NotationError as error:
        refusal = PlanTooLong if error.kind == "too_long" else UnreadablePlan
        raise refusal(
            error.in_words(TONGUE),
            field=field,
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
            field=field,
            as_face_turns=face_turns,
        )
    return ReadPlan(
        canonical=notation.canonical(tokens),
        moves=notation.count_moves(tokens),
        rotations=tuple(str(token) for token in tokens if token.moves == 0),
    )
