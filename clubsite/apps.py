"""The project as an app: loads the work queue and the deployment checks, counts faults."""

from django.apps import AppConfig


class ClubsiteConfig(AppConfig):
    name = "clubsite"

    def ready(self) -> None:
        from clubsite import celery, checks, faults  # noqa: F401
        from clubsite.deploy.virtual_environment import hold

        faults.listen()
        # Also what comes by another door than manage.py: workers, clock and web process by hand.
        hold()
