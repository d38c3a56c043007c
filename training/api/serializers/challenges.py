"""Challenges, seasons, questions."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Day, Entries, Instant, OneOf, Text, Texts, WholeNumber
from training.api.serializers.shape import Shape
from training.api.setting_entries import entry_for
from training.challenge_states import Stage
from training.models import LONGEST_QUESTION, Club, Corrected, Kind, Praise
from training.models.challenges import QUESTION_HOURS, season_kind_options
from training.models.settings import MOST_SCRAMBLES, colour_options
from training.rules import Sight
from training.selectors import challenge_results, challenge_views, challenges, posts, questions
from training.selectors import seasons as of_seasons
from training.services.questions import CORRECTIONS

STAGES = tuple(one.value for one in Stage if one != Stage.NOT_YET)
ANSWERS = (Sight.CLOSING.value, Sight.OWN_PLAN.value)
PRAISES = tuple(Praise.values)
CARRIED = tuple(Corrected(one).value for one in CORRECTIONS)


class ChallengeHead(Shape):
    """A weekly challenge without its result: in which state it is, and what comes next."""

    stage = serializers.ChoiceField(choices=STAGES)

    class Meta:
        dataclass = challenges.ChallengeHead
        ref_name = "Challenge"


class ResultLine(Shape):
    """A member's line. `now`: points by later corrections; null where they are equal."""

    class Meta:
        dataclass = challenge_results.ResultLine


class ConfirmedResult(Shape):
    """A result that stands. `differs`: later corrections have changed what it would be now."""

    rules = serializers.DictField(help_text="What it was made by.")

    class Meta:
        dataclass = challenge_results.ConfirmedResult
        inner = (ResultLine,)


class PostedWord(Shape):
    """Something that a post finds worth a word, with its figures."""

    kind = serializers.ChoiceField(choices=PRAISES)
    figures = serializers.DictField()

    class Meta:
        dataclass = posts.PostedWord


class Question(Shape):
    """A question and its answer. Read by who asked and by the coaches alone."""

    class Meta:
        dataclass = questions.QuestionView
        ref_name = "Question"


class ChallengeView(Shape):
    """A challenge as you may see it. `lines` are empty until its table is open to you."""

    class Meta:
        dataclass = challenge_views.ChallengeView
        ref_name = "ChallengeWithResult"
        inner = (ChallengeHead, ResultLine, ConfirmedResult, PostedWord, Question)


class SeasonHead(Shape):
    """A season without its table."""

    class Meta:
        dataclass = of_seasons.SeasonHead
        ref_name = "Season"


class SeasonTable(Shape):
    """The table of a season: confirmed numbers where there are any, live ones elsewhere."""

    class Meta:
        dataclass = of_seasons.SeasonTable
        inner = (SeasonHead, ConfirmedResult)


class OfGroupAsked(Entries):
    """Whose table it is."""

    group = WholeNumber(
        min_value=1,
        max_value=2**63 - 1,
        required=False,
        help_text="The id of a group: its own table. Without it: everybody's.",
    )


class Announce(Entries):
    """A challenge to be announced. Its scrambles are drawn and sealed until it opens."""

    opens_at = Instant(help_text="When it opens.")
    closes_at = Instant(help_text="When it closes, a month later at most.")
    scrambles = WholeNumber(min_value=1, max_value=MOST_SCRAMBLES, default=5)
    name = Text(max_length=60, required=False, default="", allow_blank=True)
    question_hours = WholeNumber(min_value=1, max_value=240, default=QUESTION_HOURS)
    colours = Texts(
        child=OneOf(choices=tuple(one for one, _words in colour_options())),
        required=False,
        min_length=1,
        max_length=6,
        help_text="Cross colours allowed; without it, the club’s.",
    )
    groups = Texts(
        child=WholeNumber(min_value=1, max_value=2**63 - 1),
        required=False,
        max_length=50,
        help_text="The ids of the groups that are told and given it; without it, everybody.",
    )
    answers_to = OneOf(choices=ANSWERS, default=Sight.CLOSING.value)
    timing = entry_for(Club._meta.get_field("timing"))
    held = entry_for(Club._meta.get_field("held"))


class MakeSeason(Entries):
    """A season: from when to when, what feeds it, how many sets count."""

    name = Text(max_length=60)
    first_day = Day(help_text="A day of the club's calendar.")
    last_day = Day()
    kinds = Texts(
        child=OneOf(choices=tuple(one for one, _words in season_kind_options())),
        min_length=1,
        max_length=2,
        default=lambda: [Kind.CHALLENGE.value],
    )
    best_sets_counted = WholeNumber(
        min_value=1, max_value=400, allow_null=True, default=None, help_text="null: all of them."
    )


class ChangeSeason(Entries):
    """What changes of a season that has not begun; of one that has, its name alone."""

    name = Text(max_length=60, required=False)
    first_day = Day(required=False)
    last_day = Day(required=False)
    kinds = Texts(
        child=OneOf(choices=tuple(one for one, _words in season_kind_options())),
        min_length=1,
        max_length=2,
        required=False,
    )
    best_sets_counted = WholeNumber(
        min_value=1, max_value=400, allow_null=True, required=False, help_text="null: all of them."
    )


class Ask(Entries):
    """A question to the coaches."""

    words = Text(max_length=LONGEST_QUESTION)


class Answer(Entries):
    """A coach's answer; it may carry a correction, which is made at once."""

    answer = Text(max_length=LONGEST_QUESTION)
    correction = OneOf(choices=CARRIED, required=False)
    reason = Text(
        max_length=200, required=False, allow_blank=True, help_text="Why it is corrected."
    )
