"""What a plan is worth, as the solver reports it."""

from __future__ import annotations

from rest_framework import serializers

from solverworker import report
from training.api.serializers.shape import Shape


class LedgerRow(Shape):
    """One written move and what it did; `distance`: face turns still needed after it."""

    class Meta:
        dataclass = report.LedgerRow


class TechniqueTurns(Shape):
    """Where a way uses a technique: places among its face turns, from 0."""

    class Meta:
        dataclass = report.TechniqueTurns
        ref_name = "Idea"


class Shortest(Shape):
    """A shortest way, written as the cube is held where it begins."""

    class Meta:
        dataclass = report.ShortestSolution
        ref_name = "Shortest"
        inner = (TechniqueTurns,)


class TechniqueUse(Shape):
    """Techniques of a solved plan; `blame` gives moves lost by code, exact fractions as text."""

    blame = serializers.SerializerMethodField()

    class Meta:
        dataclass = report.TechniqueUse

    def get_blame(self, use: report.TechniqueUse) -> dict[str, str]:
        return dict(use.blame)


class Handling(Shape):
    """Noted beside a plan, never counted."""

    class Meta:
        dataclass = report.Handling


class LostMove(Shape):
    """A written move that lost something, and the way there was instead."""

    class Meta:
        dataclass = report.LostMove
        exclude = ("span", "more")
        inner = (Shortest,)
        extra_kwargs = {"token": {"help_text": "Its place in the ledger, from 0."}}


class Hint(Shape):
    """A likely cause of a plan that does not solve; it never changes a result."""

    class Meta:
        dataclass = report.Hint


class Report(Shape):
    """What a plan is worth: its moves beside the best, and what each of them lost."""

    class Meta:
        dataclass = report.PlanReport
        ref_name = "Report"
        inner = (LedgerRow, Shortest, TechniqueUse, Handling, LostMove, Hint)
