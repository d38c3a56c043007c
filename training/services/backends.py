"""How people prove who they are: a pass phrase, or a one-time code from a coach."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.backends import BaseBackend
from django.http import HttpRequest
from django.utils import timezone

from training.models import Person, SignInCode
from training.prepared import LARGE, Prepared
from training.rights import clubs_of, may_choose_phrase
from training.services.phrases import digest, plain_code


class _PersonBackend(BaseBackend):
    def get_user(self, user_id: int) -> Person | None:
        return next(iter(_active(user_id)), None)


_active = Prepared(lambda pk: Person.objects.filter(pk=pk, is_active=True).order_by(), LARGE)


class PhraseBackend(_PersonBackend):
    """Sign-in name and pass phrase."""

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        **credentials: Any,
    ) -> Person | None:
        """The person, or None. Takes as long for an unknown name as for a wrong phrase."""
        if username is None or password is None:
            return None
        person = Person.objects.signing_in_as(username)
        if person is None:
            Person().set_password(password)
            return None
        return person if person.check_password(password) and person.is_active else None


class OneTimeCodeBackend(_PersonBackend):
    """Sign-in name and a code that works once: it opens the club of who made it.

    Whoever belongs to that club alone then chooses a new phrase.
    """

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        code: str | None = None,
        **credentials: Any,
    ) -> Person | None:
        """The person, or None; the code is used up by the conditional write that finds it."""
        if username is None or code is None:
            return None
        now = timezone.now()
        named = Person.objects.signing_in_as(username)
        codes = SignInCode.objects.unused()
        used = codes.not_expired(now).filter(
            token_hash=digest(plain_code(code)),
            person=named,
            person__is_active=True,
        )
        found = used.select_related("person").first()
        if found is None:
            return None
        claimed = codes.filter(pk=found.pk).update(used_at=now)
        if claimed != 1:
            return None
        person = found.person
        of_person = clubs_of(person)
        person.opened_clubs = of_person if found.club_id is None else frozenset((found.club_id,))
        person.code_clubs = person.opened_clubs
        if may_choose_phrase(person):
            person.must_choose_phrase = True
            person.save(update_fields=["must_choose_phrase"])
        return person
