"""The attempt laid out: the scramble, what was typed, how it is read."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.net import net
from training.entry import PAIR_AHEAD, Entry, ReadPlan
from training.models import Membership
from training.refusals import LowerCasePlan, Refusal, UnreadablePlan
from training.selectors.plans import ScrambleView, SetView
from training.web.pages.attempt.echo import Echo, echo_of, free_words, marked
from training.web.parts.of_set import OfSet, of_set
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.pictures.net import Net, draw_net
from training.web.saying.counting import count, told


@dataclass(frozen=True, slots=True)
class WhichLayers:
    """What ``pages/attempt/which_layers.html`` needs, where all was typed in lower case.

    ``as_typed``, and ``as_face_turns`` if one layer was meant; ``plan`` and
    ``pair``: both entries as they then are.
    """

    as_typed: str
    as_face_turns: str
    plan: str
    pair: str


@dataclass(frozen=True, slots=True)
class AttemptShown:
    """What ``pages/attempt/attempt.html`` needs. ``echo`` is None while nothing is typed.

    ``pair`` and ``pair_echo``: the same of the moves for the first pair.
    ``refused_title`` stands in for a refusal's own where that speaks of the plan.
    """

    of_set: OfSet
    sheet: ScoreSheet
    net: Net
    written: str
    pair: str
    key: str
    echo: Echo | None
    pair_echo: Echo | None
    echo_href: str
    can_hand_in: bool
    which_layers: WhichLayers | None
    refused_title: str
    refused_words: SafeString | str


@dataclass(frozen=True, slots=True)
class ReadBackShown:
    """What ``pages/attempt/read_back.html`` needs: the entry in canonical form.

    ``pair_canonical`` is empty where no moves for the first pair were written.
    """

    of_set: OfSet
    written: str
    canonical: str
    length: str
    free: str
    pair: str
    pair_canonical: str
    pair_length: str
    choice: str
    key: str
    lower_case_meant: bool
    counts: bool


def show_attempt(
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    now: datetime,
    *,
    written: str = "",
    pair: str = "",
    refused: Refusal | None = None,
    key: str = "",
) -> AttemptShown:
    """Lay out the page to hand in on. After a refusal what was typed is still there."""
    of_pair = refused is not None and refused.field == PAIR_AHEAD
    strict = view.head.strict
    return AttemptShown(
        of_set=of_set(viewer, view, one, now),
        sheet=score_sheet(one.text),
        net=draw_net(net(one.text)),
        written=written,
        pair=pair,
        key=key or str(uuid.uuid4()),
        echo=_echo(written, None if of_pair else refused, strict=strict),
        pair_echo=_echo(pair, refused if of_pair else None, strict=strict),
        echo_href=reverse("echo", args=[viewer.club.slug, view.head.id, one.number]),
        can_hand_in=refused is None or refused.status != 409,
        which_layers=_which_layers(refused, written, pair),
        refused_title=_("The first pair cannot be read")
        if of_pair and isinstance(refused, UnreadablePlan)
        else "",
        refused_words=told(refused.message) if refused else "",
    )


def _echo(written: str, refused: Refusal | None, *, strict: bool) -> Echo | None:
    """What stands under an entry: how it is read, or where it was refused."""
    if refused:
        return marked(written, refused)
    return echo_of(written, strict=strict) if written else None


def _which_layers(refused: Refusal | None, written: str, pair: str) -> WhichLayers | None:
    if not isinstance(refused, LowerCasePlan):
        return None
    meant = str(refused.extras["as_face_turns"])
    if refused.field == PAIR_AHEAD:
        return WhichLayers(as_typed=pair, as_face_turns=meant, plan=written, pair=meant)
    return WhichLayers(as_typed=written, as_face_turns=meant, plan=meant, pair=pair)


def show_read_back(
    of: OfSet, entry: Entry, read: ReadPlan, *, key: uuid.UUID, counts: bool
) -> ReadBackShown:
    """Lay out an entry as it was read, before it goes in."""
    return ReadBackShown(
        of_set=of,
        written=entry.written,
        canonical=read.canonical,
        length=count(read.moves, "move"),
        free=free_words(read.rotations),
        pair=entry.pair,
        pair_canonical=read.pair_canonical,
        pair_length=count(read.pair.moves, "move") if read.pair else "",
        choice=entry.choice,
        key=str(key),
        lower_case_meant=entry.lower_case_meant,
        counts=counts,
    )
