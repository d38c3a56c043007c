"""The attempt laid out: the scramble, the inspection, what was typed, how it is read."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.first_hold import colours_of, held_at
from solverworker.cube.holds import follow_scramble
from solverworker.cube.net import net
from training.entry import PAIR_AHEAD, Entry, ReadPlan
from training.inspection import SECONDS
from training.models import Inspects, Membership
from training.refusals import LowerCasePlan, Refusal, UnreadablePlan
from training.rules import Timing
from training.selectors.attempts import OnTheWay
from training.selectors.plans import ScrambleView, SetView
from training.web.pages.attempt.echo import Echo, echo_of, free_words, marked
from training.web.parts.drawn import CrossDrawn, draw_cross
from training.web.parts.of_set import OfSet, of_set
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.pictures.net import Net, draw_net
from training.web.saying.counting import count, told
from training.web.saying.holds import hold_words
from training.web.saying.plans import colour_name


class AttemptStep(StrEnum):
    """The steps of an attempt that are told apart by what one sees; the read-back is a page."""

    SCRAMBLE = "scramble"
    INSPECT = "inspect"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where each step of a scramble is."""

    scramble: str
    inspect: str
    write: str
    read_back: str
    echo: str


def addresses(viewer: Membership, view: SetView, one: ScrambleView) -> Addresses:
    """The addresses of a scramble's steps."""
    at = [viewer.club.slug, view.head.id, one.number]
    return Addresses(
        scramble=reverse("scramble", args=at),
        inspect=reverse("inspect", args=at),
        write=reverse("write", args=at),
        read_back=reverse("read_back", args=at),
        echo=reverse("echo", args=at),
    )


@dataclass(frozen=True, slots=True)
class Covered:
    """Whether the scramble is covered, and why not: ``begun`` and not ``looked`` at again.

    ``ended``: the next step is to write. ``told``: the coach knows that the cube differs.
    """

    begun: bool
    ended: bool
    looked: bool
    told: bool

    @property
    def now(self) -> bool:
        return self.begun and not self.looked


@dataclass(frozen=True, slots=True)
class InspectShown:
    """What ``pages/attempt/inspect.html`` needs.

    ``choice``: it is the member's; else ``timed`` says which it is. ``charges``: a plan without a
    time that counts charges 8. ``elapsed``: milliseconds since it began, -1 before; ``marks``:
    the fifteen of the rule.
    """

    choice: bool
    timed: bool
    charges: bool
    elapsed: int
    marks: range


@dataclass(frozen=True, slots=True)
class ColourChoice:
    """A colour to choose for the top or the front."""

    value: str
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class HoldChoice:
    """What ``pages/attempt/held.html`` needs: the colours for top and front."""

    top: tuple[ColourChoice, ...]
    front: tuple[ColourChoice, ...]


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
class ReadHere:
    """What ``pages/attempt/read_here.html`` needs: what a device needs to read a plan back.

    ``hold``: colours of top and front as scrambled; ``colours``: their names, as JSON.
    """

    hold: str
    strict: bool
    colours: str


@dataclass(frozen=True, slots=True)
class AttemptShown:
    """What ``pages/attempt/attempt.html`` needs. ``echo`` is None while nothing is typed.

    ``pair`` and ``pair_echo``: the same of the moves for the first pair.
    ``refused_title`` stands in for a refusal's own where that speaks of the plan.
    ``draft_id``: the scramble's, by which a browser keeps what is typed.
    """

    of_set: OfSet
    to: Addresses
    step: AttemptStep
    draft_id: int
    covered: Covered
    inspect: InspectShown
    held: HoldChoice | None
    read_here: ReadHere
    sheet: ScoreSheet
    net: Net
    crosses: tuple[CrossDrawn, ...]
    scrambled_hold: str
    written: str
    pair: str
    key: str
    echo: Echo | None
    pair_echo: Echo | None
    can_hand_in: bool
    which_layers: WhichLayers | None
    refused_title: str
    refused_words: SafeString | str


@dataclass(frozen=True, slots=True)
class ReadBackShown:
    """What ``pages/attempt/read_back.html`` needs: the entry in canonical form.

    ``pair_canonical`` is empty where no moves for the first pair were written. ``first_hold`` and
    ``last_hold``: how the cube is held when the plan begins to turn, ``after`` which rotations,
    and when it ends; empty for no moves.
    """

    of_set: OfSet
    to: Addresses
    draft_id: int
    written: str
    canonical: str
    length: str
    free: str
    first_hold: str
    after: str
    last_hold: str
    pair: str
    pair_canonical: str
    pair_length: str
    choice: str
    held: str
    key: str
    lower_case_meant: bool
    counts: bool


def show_attempt(
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    now: datetime,
    *,
    on: OnTheWay,
    step: AttemptStep,
    refused: Refusal | None = None,
) -> AttemptShown:
    """Lay out the steps, of which one is seen. After a refusal what was typed is still there."""
    entry = on.entry or Entry("")
    of_pair = refused is not None and refused.field == PAIR_AHEAD
    strict = view.head.strict
    scrambled = colours_of(follow_scramble(one.text).hold)
    return AttemptShown(
        of_set=of_set(viewer, view, one, now),
        to=addresses(viewer, view, one),
        step=step,
        draft_id=one.id,
        covered=Covered(
            begun=on.begun,
            ended=on.inspection is not None and on.inspection.ended_at is not None,
            looked=on.looked_again,
            told=on.told,
        ),
        inspect=_inspect(viewer, view, on, now),
        held=_held(viewer, one, entry) if view.head.held_freely else None,
        read_here=ReadHere(
            hold=" ".join(scrambled),
            strict=strict,
            colours=json.dumps({one: colour_name(one) for one in COLOUR_OF_FACE.values()}),
        ),
        sheet=score_sheet(one.text),
        net=draw_net(net(one.text)),
        # Of several colours it would be a choice whose cross to draw, and that is the member's.
        crosses=tuple(
            draw_cross(one.text, colour=colour)
            for colour in view.head.colours
            if len(view.head.colours) == 1
        ),
        scrambled_hold=hold_words(scrambled),
        written=entry.written,
        pair=entry.pair,
        key=str(on.draft.key) if on.draft is not None else str(uuid.uuid4()),
        echo=_echo(entry.written, None if of_pair else refused, strict=strict),
        pair_echo=_echo(entry.pair, refused if of_pair else None, strict=strict),
        can_hand_in=refused is None or refused.status != 409,
        which_layers=_which_layers(refused, entry.written, entry.pair),
        refused_title=_("The first pair cannot be read")
        if of_pair and isinstance(refused, UnreadablePlan)
        else "",
        refused_words=told(refused.message) if refused else "",
    )


def _inspect(viewer: Membership, view: SetView, on: OnTheWay, now: datetime) -> InspectShown:
    timing = view.head.timing
    choice = timing == Timing.EITHER
    timed = viewer.inspects == Inspects.TIMED if choice else timing == Timing.TIMED
    elapsed = -1
    if on.inspection is not None:
        timed = on.inspection.chosen == Inspects.TIMED
        elapsed = max(0, round((now - on.inspection.begun_at).total_seconds() * 1000))
    return InspectShown(
        choice=choice and on.inspection is None,
        timed=timed,
        charges=timing == Timing.TIMED,
        elapsed=elapsed,
        marks=range(1, SECONDS + 1),
    )


def _held(viewer: Membership, one: ScrambleView, entry: Entry) -> HoldChoice:
    """The hold that is offered: as it was told, as the member usually has it, as scrambled."""
    start = colours_of(follow_scramble(one.text).hold)
    top, _space, front = (entry.held or viewer.usual_hold or " ".join(start)).partition(" ")
    return HoldChoice(
        *(
            tuple(
                ColourChoice(colour, colour_name(colour), colour == chosen)
                for colour in COLOUR_OF_FACE.values()
            )
            for chosen in (top, front)
        )
    )


def _echo(written: str, refused: Refusal | None, *, strict: bool) -> Echo | None:
    """What stands under an entry: how it is read, or where it was refused."""
    if isinstance(refused, UnreadablePlan | LowerCasePlan):
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
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    now: datetime,
    *,
    entry: Entry,
    read: ReadPlan,
    key: uuid.UUID,
) -> ReadBackShown:
    """Lay out an entry as it was read, before it goes in."""
    hold = held_at(one.text, read.canonical) if read.canonical else None
    return ReadBackShown(
        of_set=of_set(viewer, view, one, now),
        to=addresses(viewer, view, one),
        draft_id=one.id,
        written=entry.written,
        canonical=read.canonical.removeprefix(read.turned).strip(),
        length=count(read.moves, "move"),
        free=free_words(read.rotations),
        first_hold=hold_words(hold.first) if hold else "",
        after=hold.after if hold and not read.turned else "",
        last_hold=hold_words(hold.last) if hold else "",
        pair=entry.pair,
        pair_canonical=read.pair_canonical,
        pair_length=count(read.pair.moves, "move") if read.pair else "",
        choice=entry.choice,
        held=entry.held,
        key=str(key),
        lower_case_meant=entry.lower_case_meant,
        counts=not view.head.of_member,
    )
