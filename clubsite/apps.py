"""The project as an app: loads the work queue and the deployment checks."""

from django.apps import AppConfig


class ClubsiteConfig(AppConfig):
    name = "clubsite"

    def ready(self) -> None:
        from clubsite import celery, checks  # noqa: F401
