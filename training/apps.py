"""The club."""

from django.apps import AppConfig
from django.db.models.signals import pre_save


class TrainingConfig(AppConfig):
    name = "training"
    verbose_name = "Training"

    def ready(self) -> None:
        """Have django-axes store nothing that somebody typed."""
        from axes.models import AccessAttempt, AccessFailureLog, AccessLog

        from training.services.failures import keep_nothing_typed

        for kept in (AccessAttempt, AccessFailureLog, AccessLog):
            pre_save.connect(keep_nothing_typed, sender=kept)
