"""Telling of a challenge: the post, and an address at which everybody may read the posts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, rights
from training.models import Challenge, Club, Membership, Post, PublicAddress, WorthAWord
from training.models.posts import new_secret
from training.refusals import InvalidEntry
from training.selectors.challenge_results import newest_confirmation
from training.selectors.challenges import reached_by
from training.selectors.worth_a_word import suggestions
from training.services.confirming import lock, settle


def post(
    *,
    challenge: Challenge,
    by: Membership,
    words: Sequence[str] = (),
    now: datetime | None = None,
) -> Post:
    """Post a confirmed challenge; once more, to choose other ``words``.

    ``words``: keys of :func:`training.selectors.worth_a_word.suggestions`, three at
    most. Raises NotAllowed, InvalidEntry, NoLongerPossible before it is confirmed.
    """
    now = now or timezone.now()
    of_set = challenge.scramble_set
    rights.require_coach(by, club_id=of_set.club_id)
    settle(set_id=of_set.pk, now=now)
    with transaction.atomic():
        lock(of_set.pk)
        challenging.require_to_post(reached_by(challenge, now))
        confirmation = newest_confirmation(challenge)
        # What stands by itself is noted as soon as no plan of it waits.
        challenging.require_noted(confirmation)
        assert confirmation is not None
        if len(set(words)) > challenging.MOST_WORDS:
            raise InvalidEntry(
                _("Choose up to {most}.").format(most=challenging.MOST_WORDS), field="words"
            )
        known = {one.key: one for one in suggestions(by, challenge, confirmation, now)}
        if not set(words) <= set(known):
            raise InvalidEntry(_("Choose from the list."), field="words")
        found, _made = Post.objects.get_or_create(
            challenge=challenge, defaults={"posted_at": now, "by": by}
        )
        WorthAWord.objects.filter(post=found).delete()
        WorthAWord.objects.bulk_create(
            WorthAWord(
                post=found,
                place=place,
                kind=known[key].kind,
                membership_id=known[key].membership_id,
                figures=known[key].figures,
            )
            for place, key in enumerate(dict.fromkeys(words), start=1)
        )
    return found


def publish(*, club: Club, by: Membership, now: datetime | None = None) -> PublicAddress:
    """Let everybody who has the address read the posts; done again it is another address.

    The earlier one leads nowhere then. Raises NotAllowed unless
    :func:`training.rights.may_publish`.
    """
    rights.require_publish(by)
    made, _new = PublicAddress.objects.update_or_create(
        club=club, defaults={"secret": new_secret(), "made_at": now or timezone.now()}
    )
    return made


def unpublish(*, club: Club, by: Membership) -> None:
    """Let nobody outside read the posts any more. Raises NotAllowed as :func:`publish`."""
    rights.require_publish(by)
    PublicAddress.objects.filter(club=club).delete()
