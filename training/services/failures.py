"""What django-axes asks of us: whose failure, from where, what is kept and what to answer."""

from __future__ import annotations

import secrets
from datetime import timedelta
from math import ceil
from typing import Any

from django.conf import settings
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils import timezone
from django.utils.crypto import salted_hmac

from training import names

LETTERS_OF_A_NAME = 40
DEVICE = "device"
DEVICE_DAYS = 365
NAMES_A_DEVICE = 5


def client_address(request: HttpRequest) -> str:
    """The visitor's address.

    With ``NUM_PROXIES`` = 0 the connection's own; with n, the n-th from the
    right of X-Forwarded-For, because only those entries were written by
    proxies of ours: anything further left can be forged by the visitor.
    """
    direct: str = request.META.get("REMOTE_ADDR", "")
    if not settings.NUM_PROXIES:
        return direct
    hops = [hop.strip() for hop in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
    hops = [hop for hop in hops if hop]
    return hops[-min(settings.NUM_PROXIES, len(hops))] if hops else direct


def counted_name(request: HttpRequest, credentials: dict[str, Any] | None = None) -> str:
    """What failures under a name are counted under.

    Another case is not another name. Not the name itself: people in a hurry
    type their pass phrase there, and no database or log keeps what was typed.

    A device on which that name signed in before is counted by itself: whoever
    else fails under the name, from the same address, does not lock it.
    """
    name = digest_of_name(str((credentials or {}).get("username") or ""))
    device, *names = _device_of(request)
    return f"{name}.{device}" if name in names else name


def forget_failures_here(request: HttpRequest, sign_in_name: str) -> None:
    """Begin the count of a name anew, from where somebody just proved to be it."""
    from axes.models import AccessAttempt

    AccessAttempt.objects.filter(
        username=counted_name(request, {"username": sign_in_name}),
        ip_address=client_address(request),
    ).delete()


def forget_failures(sign_in_name: str) -> None:
    """Let a name be tried again from everywhere."""
    from axes.models import AccessAttempt

    name = digest_of_name(sign_in_name)
    AccessAttempt.objects.filter(username__startswith=name).delete()


def forget_person(sign_in_name: str) -> None:
    """Delete every record of signing in, and of failing to, under a name.

    Failures are counted under what this site makes of a name, sign-ins under the name.
    """
    from axes.models import AccessAttempt, AccessFailureLog, AccessLog

    counted = Q(username__startswith=digest_of_name(sign_in_name))
    theirs = counted | Q(username=sign_in_name) | Q(username__iexact=sign_in_name)
    for kept in (AccessAttempt, AccessFailureLog, AccessLog):
        kept.objects.filter(theirs).delete()


def know_device(request: HttpRequest, response: HttpResponseBase, sign_in_name: str) -> None:
    """Have the browser remember that somebody signed in on it; it holds no way in by itself."""
    device, *names = _device_of(request)
    name = digest_of_name(sign_in_name)
    names = [name, *(one for one in names if one != name)][:NAMES_A_DEVICE]
    response.set_signed_cookie(
        DEVICE,
        ".".join((device or secrets.token_hex(8), *names)),
        max_age=DEVICE_DAYS * 24 * 60 * 60,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def _device_of(request: HttpRequest) -> list[str]:
    """The device's own mark, empty for an unknown one, and the names known on it."""
    return (request.get_signed_cookie(DEVICE, "") or "").split(".")


def digest_of_name(name: str) -> str:
    """A sign-in name as failures know it: 40 letters that only this site can make of it."""
    typed = names.tidy(name).casefold()[:LETTERS_OF_A_NAME]
    return salted_hmac("training.failures", typed, algorithm="sha256").hexdigest()[:40]


def keep_nothing_typed(sender: type, instance: Any, **about: Any) -> None:
    """Before a record of django-axes is stored: without what was typed or stood in the address.

    It keeps the whole form, and of forms that hold a pass phrase it knows those
    whose field is called ``password``; the paths of invites and owner links are
    secrets themselves.
    """
    for column in ("post_data", "get_data", "path_info"):
        if hasattr(instance, column):
            setattr(instance, column, "")


def locked_out(
    request: HttpRequest, response: HttpResponse, credentials: dict[str, Any] | None = None
) -> HttpResponse:
    """Keep the view's own answer, which has said what to do, and add when to come again."""
    response["Retry-After"] = str(_seconds_locked(request))
    return response


def _seconds_locked(request: HttpRequest) -> int:
    """How long a name stays locked from here, as RFC 9110 (10.2.3) has it.

    The whole time where it is not known since when.
    """
    from axes.models import AccessAttempt

    whole: timedelta = settings.AXES_COOLOFF_TIME
    counted = AccessAttempt.objects.filter(
        username=counted_name(request, {"username": getattr(request, "locked_name", "")}),
        ip_address=client_address(request),
    )
    last = counted.order_by("-attempt_time").values_list("attempt_time", flat=True).first()
    left = whole if last is None else last + whole - timezone.now()
    return max(1, ceil(left.total_seconds()))
