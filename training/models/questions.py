"""What members ask a coach about a verdict or a scramble, and what is answered."""

from __future__ import annotations

from typing import Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from training.models.clubs import Club
from training.models.corrections import Correction
from training.models.members import Membership
from training.models.sets import Scramble

LONGEST_QUESTION = 500


class QuestionQuerySet(models.QuerySet["Question"]):
    def of_club(self, club: Club | int) -> Self:
        return self.filter(membership__club=club)

    def waiting(self) -> Self:
        return self.filter(answered_at__isnull=True)


class Question(models.Model):
    """A question about one scramble, and the own plan for it if there is one.

    Read by who asked and by the coaches, and by nobody else.
    ``correction``: the entry that the answer led to, if it led to one.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="questions")
    scramble = models.ForeignKey(Scramble, on_delete=models.CASCADE, related_name="questions")
    words = models.CharField(max_length=LONGEST_QUESTION)
    asked_at = models.DateTimeField(default=timezone.now)
    answer = models.CharField(max_length=LONGEST_QUESTION, blank=True, default="")
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        Membership, null=True, on_delete=models.SET_NULL, related_name="questions_answered"
    )
    correction = models.ForeignKey(
        Correction, null=True, on_delete=models.SET_NULL, related_name="questions"
    )

    objects = QuestionQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["membership", "scramble"],
                condition=Q(answered_at__isnull=True),
                name="one_open_question_a_scramble",
            ),
            models.CheckConstraint(
                condition=Q(answered_at__isnull=True, answer="")
                | (Q(answered_at__isnull=False) & ~Q(answer="")),
                name="answered_with_words",
            ),
        ]

    def __str__(self) -> str:
        return f"question {self.pk}"
