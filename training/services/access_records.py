"""Records of who got in, or failed to, and what has run out: kept so long and no longer."""

from __future__ import annotations

from datetime import datetime, timedelta

from axes.models import AccessAttempt, AccessAttemptExpiration, AccessFailureLog, AccessLog
from django.contrib.sessions.models import Session
from django.utils import timezone
from knox.models import get_token_model

from training import retention
from training.models import Invite, OwnerLink, SignInCode


def purge(*, now: datetime | None = None) -> int:
    """Delete records that are older than they are kept, and what has run out. Returns how many.

    Sessions and API tokens go as soon as they open nothing any more; records of access, codes and
    links when they have been of no use for so long.
    """
    now = now or timezone.now()
    before = now - timedelta(days=retention.ACCESS_DAYS)
    old = (
        AccessAttempt.objects.filter(attempt_time__lt=before),
        AccessAttemptExpiration.objects.filter(expires_at__lt=before),
        AccessFailureLog.objects.filter(attempt_time__lt=before),
        AccessLog.objects.filter(attempt_time__lt=before),
        Session.objects.filter(expire_date__lte=now),
        get_token_model().objects.filter(expiry__lte=now),
        SignInCode.objects.filter(expires_at__lt=before),
        Invite.objects.filter(expires_at__lt=before),
        OwnerLink.objects.filter(expires_at__lt=before),
    )
    return sum(records.delete()[0] for records in old)
