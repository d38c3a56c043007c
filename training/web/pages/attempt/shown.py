"""The attempt laid out: the scramble, what was typed, how it is read."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString

from solverworker.cube.net import net
from training.entry import Entry, ReadPlan
from training.models import Membership
from training.refusals import LowerCasePlan, Refusal
from training.selectors.plans import ScrambleView, SetView
from training.web.pages.attempt.echo import Echo, echo_of, free_words, marked
from training.web.parts.of_set import OfSet, of_set
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.pictures.net import Net, draw_net
from training.web.saying.counting import count, told


@dataclass(frozen=True, slots=True)
class AttemptShown:
    """What ``pages/attempt/attempt.html`` needs. ``echo`` is None while nothing is typed.

    ``as_face_turns``: the plan with face turns, where all was typed in lower case and it has
    to be asked which was meant; empty otherwise.
    """

    of_set: OfSet
    sheet: ScoreSheet
    net: Net
    written: str
    key: str
    echo: Echo | None
    echo_href: str
    can_hand_in: bool
    as_face_turns: str
    refused_words: SafeString | str


@dataclass(frozen=True, slots=True)
class ReadBackShown:
    """What ``pages/attempt/read_back.html`` needs: the entry in canonical form."""

    of_set: OfSet
    written: str
    canonical: str
    length: str
    free: str
    choice: str
    key: str
    lower_case_meant: bool
    in_practice: bool


def show_attempt(
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    now: datetime,
    *,
    written: str = "",
    refused: Refusal | None = None,
    key: str = "",
) -> AttemptShown:
    """Lay out the page to hand in on. After a refusal what was typed is still there."""
    if refused:
        echo: Echo | None = marked(written, refused)
    else:
        echo = echo_of(written, strict=view.head.strict) if written else None
    lower_case = isinstance(refused, LowerCasePlan)
    return AttemptShown(
        of_set=of_set(viewer, view, one, now),
        sheet=score_sheet(one.text),
        net=draw_net(net(one.text)),
        written=written,
        key=key or str(uuid.uuid4()),
        echo=echo,
        echo_href=reverse("echo", args=[viewer.club.slug, view.head.id, one.number]),
        can_hand_in=refused is None or refused.status != 409,
        as_face_turns=str(refused.extras["as_face_turns"]) if refused and lower_case else "",
        refused_words=told(refused.message) if refused else "",
    )


def show_read_back(
    of: OfSet, entry: Entry, read: ReadPlan, *, key: uuid.UUID, in_practice: bool
) -> ReadBackShown:
    """Lay out an entry as it was read, before it goes in."""
    return ReadBackShown(
        of_set=of,
        written=entry.written,
        canonical=read.canonical,
        length=count(read.moves, "move"),
        free=free_words(read.rotations),
        choice=entry.choice,
        key=str(key),
        lower_case_meant=entry.lower_case_meant,
        in_practice=in_practice,
    )
