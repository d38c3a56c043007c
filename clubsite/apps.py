"""The project as an app: loads the work queue and the deployment checks, counts faults."""

from django.apps import AppConfig


class ClubsiteConfig(AppConfig):
    name = "clubsite"

    def ready(self) -> None:
        from clubsite import celery, checks, faults  # noqa: F401

        faults.listen()
