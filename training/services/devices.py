"""Ending what somebody is signed in with: one browser, one program, all of them."""

from __future__ import annotations

from django.contrib.sessions.models import Session
from django.db import transaction
from knox.models import get_token_model

from training import rights
from training.models import Done, Membership, Person, SignedIn
from training.selectors.devices import handle_of
from training.services import deeds
from training.services.sessions import forget_sessions


def end_browser(*, person: Person, browser_id: int) -> bool:
    """End one session of one's own. Returns whether there was one.

    Raises NotAllowed unless :func:`training.rights.may_answer_for_all`, here as below.
    """
    rights.require_answer_for_all(person)
    mine = SignedIn.objects.filter(person=person, pk=browser_id)
    gone, _rows = Session.objects.filter(pk__in=mine.values("session_id")).delete()
    return gone > 0


def end_program(*, person: Person, handle: str) -> bool:
    """End one token of one's own, by its handle. Returns whether there was one."""
    rights.require_answer_for_all(person)
    for token in get_token_model().objects.filter(user=person):
        if handle_of(token.pk) == handle:
            token.delete()
            return True
    return False


def sign_out_everywhere(*, person: Person) -> None:
    """End every session and every token of somebody, this session too."""
    rights.require_answer_for_all(person)
    with transaction.atomic():
        forget_sessions(person)
        get_token_model().objects.filter(user=person).delete()
        for one in Membership.objects.filter(person=person):
            deeds.note(what=Done.SIGNED_OUT, by=one, whom=one)
