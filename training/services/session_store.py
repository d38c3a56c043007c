"""Where sessions are kept: in the database, as Django does it; read at nearly each request."""

from __future__ import annotations

from typing import cast

from django.contrib.sessions.backends import db
from django.contrib.sessions.models import Session
from django.utils import timezone

from training.prepared import INSTANT, TEXT, Prepared


class SessionStore(db.SessionStore):
    """Django's own, whose query is put into SQL once. Its name signs what it keeps."""

    def _get_session_from_db(self) -> Session | None:
        for found in _running(cast(str, self.session_key), timezone.now()):
            return found
        self._session_key = None
        return None


_running = Prepared(
    lambda key, now: Session.objects.filter(session_key=key, expire_date__gt=now),
    *(TEXT, INSTANT),
)
