"""Challenges and seasons in words: what one is called, where it stands, what is worth a word."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from training.challenge_states import Stage
from training.models import Kind, Praise
from training.selectors.challenges import ChallengeHead
from training.selectors.seasons import SeasonHead
from training.web.saying.counting import count, listed
from training.web.saying.plainly import about
from training.web.saying.sets import crosses_allowed
from training.web.saying.times import say, say_date

_STEPS = (
    (Stage.OPEN, gettext_lazy("open")),
    (Stage.CHECKING, gettext_lazy("checked")),
    (Stage.QUESTIONS, gettext_lazy("questions")),
    (Stage.CONFIRMED, gettext_lazy("confirmed")),
    (Stage.POSTED, gettext_lazy("posted")),
)
_KINDS = {
    Kind.CHALLENGE: gettext_lazy("weekly challenges"),
    Kind.DAILY: gettext_lazy("daily sets"),
}


@dataclass(frozen=True, slots=True)
class StepSaid:
    """One of the states on the way: behind, here or ahead."""

    text: str
    done: bool
    here: bool


def about_words(head: ChallengeHead) -> str:
    """What a challenge is, for the line above its title; its number where it has another name."""
    crosses = _("{crosses}, {colours}").format(
        crosses=count(head.crosses, "cross"), colours=crosses_allowed(head.colours)
    )
    number = _("Weekly challenge {number}").format(number=head.number) if head.name else ""
    groups = _("for {groups}").format(groups=listed(head.groups)) if head.groups else ""
    return " · ".join(said for said in (number, groups, head.season, crosses) if said)


def stage_words(head: ChallengeHead, now: datetime, zone: ZoneInfo) -> str:
    """Where a challenge stands, in one sentence."""
    stage = Stage(head.stage)
    if stage in {Stage.ANNOUNCED, Stage.NOT_YET}:
        return _("Opens {when}.").format(when=say(head.opens_at, now, zone).text)
    if stage == Stage.OPEN:
        return _("Open until {when}.").format(when=say(head.closes_at, now, zone).bare.text)
    if stage == Stage.CHECKING:
        return _("Closed. Not all plans are checked yet.")
    if stage == Stage.QUESTIONS:
        assert head.questions_until is not None
        if now >= head.questions_until:
            return _("Closed. The result stands once every question is answered.")
        until = say(head.questions_until, now, zone).bare.text
        return _("Closed. Questions until {when}.").format(when=until)
    if stage == Stage.OUT:
        return _("This challenge counts for nobody.")
    assert head.confirmed_at is not None
    return _("Confirmed {when}.").format(when=say(head.confirmed_at, now, zone).text)


def steps_of(stage: str) -> tuple[StepSaid, ...]:
    """The states on the way, for the row above a result; none where it goes nowhere."""
    order = [one for one, _words in _STEPS]
    if stage == Stage.OUT:
        return ()
    here = order.index(Stage(stage)) if Stage(stage) in order else -1
    last = len(order) - 1
    return tuple(
        StepSaid(str(words), place < here or here == last, place == here)
        for place, (_stage, words) in enumerate(_STEPS)
    )


def place_words(rank: int, points: int, among: int, *, so_far: bool = False) -> str:
    """Where somebody stands, in a sentence; ``so_far``: a plan is still being checked.

    >>> place_words(3, 4, 12)
    'You are number 3 of 12, with 4 moves over.'
    >>> place_words(3, 1, 12, so_far=True)
    'So far you are number 3 of 12, with 1 move over.'
    """
    said = (
        _("So far you are number {rank} of {among}, with {moves} over.")
        if so_far
        else _("You are number {rank} of {among}, with {moves} over.")
    )
    return said.format(rank=rank, among=among, moves=count(points, "move"))


def worth_words(kind: str, member: str, figures: Mapping[str, Any]) -> str:
    """Something worth a word, with the numbers that it follows from.

    >>> worth_words("rare", "Little Jo", {"number": 2, "others": 0, "plans": 9})
    'Little Jo found scramble 2 exactly. Nobody else of 9 did.'
    """
    praise = Praise(kind)
    if praise == Praise.FEWEST:
        said = _("{member}: {moves} over in {crosses}, the fewest of all.").format(
            member=member,
            moves=count(figures["points"], "move"),
            crosses=count(figures["crosses"], "cross"),
        )
    elif praise == Praise.GAINED:
        said = _(
            "{member}: {moves} better on 10 crosses, beside the others, than in {sets} of the "
            "eight weeks before."
        ).format(
            member=member,
            moves=about(10 * float(figures["gain"]), "move"),
            sets=count(figures["sets"], "set"),
        )
    elif praise == Praise.RARE:
        others = figures["others"]
        said = (
            ngettext(
                "{member} found scramble {number} exactly. Only {others} other of {plans} did.",
                "{member} found scramble {number} exactly. Only {others} others of {plans} did.",
                others,
            )
            if others
            else _("{member} found scramble {number} exactly. Nobody else of {plans} did.")
        ).format(member=member, **{k: figures[k] for k in ("number", "others", "plans")})
    else:
        said = _("{member} solved a cross of {best} moves exactly for the first time here.").format(
            member=member, best=figures["best"]
        )
    return said[:1].upper() + said[1:]


def rules_words(rules: Mapping[str, Any]) -> str:
    """The rules that a result was made by."""
    numbers = [str(one) for one in rules.get("scrambles", ())]
    said = [
        _(
            "Fewest moves over the best come first; then more crosses solved; then more solved "
            "exactly at the best; equal results share a rank."
        ),
        _("A cross not solved counts {cap}, and no cross counts more.").format(
            cap=rules.get("cap", 8)
        ),
    ]
    if numbers:
        said.append(
            ngettext(
                "Scramble {numbers} counts.", "Scrambles {numbers} count.", len(numbers)
            ).format(numbers=listed(numbers))
        )
    return " ".join(said)


def waiting_words(waiting: int) -> str:
    """How many questions wait for a coach; empty for none."""
    if not waiting:
        return ""
    return ngettext(
        "{number} question waits for an answer.",
        "{number} questions wait for an answer.",
        waiting,
    ).format(number=waiting)


def season_days(head: SeasonHead, today: date) -> str:
    """From when to when a season goes."""
    return _("{first_day} to {last_day}").format(
        first_day=say_date(head.first_day, today), last_day=say_date(head.last_day, today)
    )


def season_rule(head: SeasonHead) -> str:
    """What a season adds up."""
    kinds = listed([str(_KINDS[Kind(one)]) for one in head.kinds])
    if head.best_sets_counted is None:
        return _("All {kinds} of these days count.").format(kinds=kinds)
    return _("Of the {kinds} of these days everybody’s best {number} count.").format(
        kinds=kinds, number=head.best_sets_counted
    )


def season_state(head: SeasonHead) -> str:
    """Where a season stands."""
    if not head.begun:
        return _("to come")
    if not head.over:
        return _("running")
    return _("over, its table confirmed") if head.confirmed else _("over, not confirmed yet")
