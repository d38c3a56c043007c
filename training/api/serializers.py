"""Shapes that go in and out. Only shape: rules are in services, sight in selectors."""

from __future__ import annotations

from typing import Any, get_args

from rest_framework import serializers

from solverworker import report
from training.api.fields import Entries, Key, Text, YesOrNo
from training.models import Role
from training.selectors.plans import State


class SignIn(Entries):
    sign_in_name = Text(max_length=40)
    phrase = Text(max_length=200, trim_whitespace=False)


class Token(serializers.Serializer[Any]):
    token = serializers.CharField(help_text="Send it as `Authorization: Bearer …`. Shown once.")
    expires_at = serializers.DateTimeField()


class ClubOfMine(serializers.Serializer[Any]):
    slug = serializers.CharField(source="club.slug")
    name = serializers.CharField(source="club.name")
    time_zone = serializers.CharField(source="club.time_zone")
    role = serializers.ChoiceField(choices=Role.choices)
    display_name = serializers.CharField()
    competes = serializers.BooleanField()


class Me(serializers.Serializer[Any]):
    sign_in_name = serializers.CharField()
    clubs = ClubOfMine(many=True)


class LedgerRow(serializers.Serializer[Any]):
    token = serializers.CharField()
    moves = serializers.IntegerField()
    distance = serializers.IntegerField()
    loss = serializers.IntegerField()


class Idea(serializers.Serializer[Any]):
    """Where a way uses a technique: places among its face turns, from 0."""

    technique = serializers.CharField()
    turns = serializers.ListField(child=serializers.IntegerField())


class Shortest(serializers.Serializer[Any]):
    colour = serializers.CharField()
    text = serializers.CharField()
    ideas = Idea(many=True)


class TechniqueUse(serializers.Serializer[Any]):
    """Techniques of a solved plan; `blame` gives moves lost by code, exact fractions as text."""

    used = serializers.ListField(child=serializers.CharField())
    called = serializers.ListField(child=serializers.CharField())
    answered = serializers.ListField(child=serializers.CharField())
    blame = serializers.SerializerMethodField()

    def get_blame(self, use: report.TechniqueUse) -> dict[str, str]:
        return dict(use.blame)


class Handling(serializers.Serializer[Any]):
    """Noted beside a plan, never counted."""

    ends_on = serializers.ChoiceField(choices=["bottom", "top", "side"])
    rotations = serializers.IntegerField()
    rotations_after_first_move = serializers.IntegerField()
    back_turns = serializers.IntegerField()
    half_turns = serializers.IntegerField()


class LostMove(serializers.Serializer[Any]):
    """A written move that lost something, and the way there was instead."""

    token = serializers.IntegerField(help_text="Its place in the ledger, from 0.")
    loss = serializers.IntegerField()
    kind = serializers.ChoiceField(choices=list(get_args(report.LossKind)))
    called = serializers.ListField(child=serializers.CharField())
    missing = serializers.ListField(child=serializers.CharField())
    way = Shortest()


class Hint(serializers.Serializer[Any]):
    """A likely cause of a plan that does not solve; it never changes a result."""

    kind = serializers.ChoiceField(choices=list(get_args(report.SlipKind)))
    colour = serializers.CharField()
    token = serializers.IntegerField(allow_null=True)
    was = serializers.CharField(allow_blank=True)
    instead = serializers.CharField(allow_blank=True)
    plan = serializers.CharField(allow_blank=True)
    top = serializers.CharField(allow_blank=True)
    front = serializers.CharField(allow_blank=True)


class Report(serializers.Serializer[Any]):
    """What a plan is worth; see `solverworker.report.PlanReport` for each word."""

    canonical = serializers.CharField()
    solved = serializers.BooleanField()
    colour = serializers.CharField()
    solved_colours = serializers.ListField(child=serializers.CharField())
    moves = serializers.IntegerField()
    best = serializers.IntegerField()
    excess = serializers.IntegerField(allow_null=True)
    colour_choice = serializers.IntegerField(allow_null=True)
    distance_start = serializers.IntegerField()
    distance_left = serializers.IntegerField()
    missing = serializers.CharField(allow_null=True)
    edges_home = serializers.IntegerField()
    ledger = LedgerRow(many=True)
    shortest = Shortest(many=True)
    shortest_count = serializers.IntegerField()
    techniques = TechniqueUse(allow_null=True)
    handling = Handling(allow_null=True)
    lost = LostMove(many=True)
    edges_relative = serializers.IntegerField()
    hints = Hint(many=True)
    version = serializers.IntegerField()


class Plan(serializers.Serializer[Any]):
    """A plan. `report` is null until the answers are open to you."""

    id = serializers.IntegerField()
    number = serializers.IntegerField()
    no_plan = serializers.BooleanField()
    written = serializers.CharField(allow_blank=True)
    canonical = serializers.CharField(allow_blank=True)
    handed_in_at = serializers.DateTimeField()
    state = serializers.ChoiceField(choices=[state.value for state in State])
    reason = serializers.CharField(allow_blank=True)
    solved = serializers.BooleanField(allow_null=True)
    moves = serializers.IntegerField(allow_null=True)
    report = Report(allow_null=True)
    checked_at = serializers.DateTimeField(allow_null=True)


class PlanOf(Plan):
    """A plan with whose it is, for coaches."""

    membership_id = serializers.IntegerField()
    member = serializers.CharField()


class Scramble(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    text = serializers.CharField()
    state = serializers.ChoiceField(choices=[state.value for state in State])
    answers_open = serializers.BooleanField()
    plan = Plan(allow_null=True)


class SetHead(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    title = serializers.CharField()
    kind = serializers.CharField()
    drawn = serializers.CharField()
    draw_method = serializers.CharField()
    day = serializers.DateField()
    closing_day = serializers.DateField()
    opens_at = serializers.DateTimeField()
    closes_at = serializers.DateTimeField()
    is_open = serializers.BooleanField()
    has_closed = serializers.BooleanField()
    finished = serializers.BooleanField()
    colours = serializers.ListField(child=serializers.CharField())
    strict = serializers.BooleanField()
    answers_to = serializers.CharField()
    table_to = serializers.CharField()


class Set(serializers.Serializer[Any]):
    head = SetHead()
    table_open = serializers.BooleanField()
    scrambles = Scramble(many=True)


class HandIn(Entries):
    """A plan to hand in. The same `key` with the same plan gives the first answer again."""

    key = Key(help_text="Made by you, a new one for each plan.")
    plan = Text(
        allow_blank=True, trim_whitespace=False, default="", help_text="The moves, as written."
    )
    no_plan = YesOrNo(default=False, help_text="No plan was found: counts 8.")
    cross_is_solved = YesOrNo(
        default=False, help_text="Nothing to turn: the cross is already solved."
    )
    lower_case_meant = YesOrNo(
        default=False, help_text="A plan all in lower case does mean outer blocks."
    )


class Score(serializers.Serializer[Any]):
    points = serializers.IntegerField()
    solved = serializers.IntegerField()
    exact = serializers.IntegerField()
    crosses = serializers.IntegerField()


class Cell(serializers.Serializer[Any]):
    number = serializers.IntegerField()
    state = serializers.CharField()
    points = serializers.IntegerField(allow_null=True)
    moves = serializers.IntegerField(allow_null=True)
    best = serializers.IntegerField(allow_null=True)
    excess = serializers.IntegerField(allow_null=True)


class SetScore(serializers.Serializer[Any]):
    set_id = serializers.IntegerField()
    score = Score(allow_null=True)


class Row(serializers.Serializer[Any]):
    rank = serializers.IntegerField()
    membership_id = serializers.IntegerField()
    member = serializers.CharField()
    own = serializers.BooleanField()
    score = Score()
    pending = serializers.IntegerField()
    sets = serializers.IntegerField()
    mean = serializers.FloatField(allow_null=True)
    cells = Cell(many=True)
    set_scores = SetScore(many=True)


class Table(serializers.Serializer[Any]):
    period = serializers.ChoiceField(choices=["day", "week", "all"])
    first_day = serializers.DateField(allow_null=True)
    sets = SetHead(many=True)
    sealed = SetHead(many=True)
    rows = Row(many=True)
    late = Row(many=True)
    to_come = serializers.ListField(child=serializers.CharField())
    so_far = serializers.BooleanField()
    pending = serializers.IntegerField()
    by_mean = serializers.BooleanField()
    best_sets_counted = serializers.IntegerField(allow_null=True)
    handed_in = serializers.IntegerField()
    expected = serializers.IntegerField()


class MemberDay(serializers.Serializer[Any]):
    membership_id = serializers.IntegerField()
    member = serializers.CharField()
    handed_in = serializers.IntegerField()
    last_at = serializers.DateTimeField(allow_null=True)
    excess = serializers.IntegerField(allow_null=True)
    not_solved = serializers.IntegerField(allow_null=True)
    plans = PlanOf(many=True)


class CoachSet(serializers.Serializer[Any]):
    head = SetHead()
    scrambles = serializers.ListField(child=serializers.CharField())
    plans_open = serializers.BooleanField()
    expected = serializers.IntegerField()
    waiting = serializers.IntegerField()
    failed = serializers.IntegerField()
    handed_in = MemberDay(many=True)
    missing = MemberDay(many=True)


class MemberLoss(serializers.Serializer[Any]):
    membership_id = serializers.IntegerField()
    member = serializers.CharField()
    plans = serializers.IntegerField()
    solved = serializers.IntegerField()
    lost = serializers.IntegerField()
    exact = serializers.IntegerField()


class CauseLoss(serializers.Serializer[Any]):
    """Moves lost to one cause: a technique, or a residue of blame."""

    code = serializers.CharField()
    lost = serializers.FloatField()


class Overview(serializers.Serializer[Any]):
    sets = CoachSet(many=True)
    losses = MemberLoss(many=True)
    lost_to = CauseLoss(many=True)
    losses_since = serializers.DateTimeField()
    waiting_for_consent = serializers.IntegerField()


class Problem(serializers.Serializer[Any]):
    """An RFC 9457 problem details object; some problems carry more members."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
