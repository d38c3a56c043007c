"""What a report says of a plan, in sentences: lost moves, what is missing, slips, handling."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solverworker.cube.notation import parse
from solverworker.cube.story import story_of
from solverworker.report import Handling, Hint, LostMove, PlanReport, ShortestSolution
from solverworker.tongue import ENGLISH, Tongue, sentence
from solverworker.words import vocabulary as words
from solverworker.words.telling import moves_in, tell


@dataclass(frozen=True, slots=True)
class Loss:
    """A lost move in words.

    ``token``: its place in the ledger, from 0; ``lost``: what was lost;
    ``called``: what there was instead, in ideas (empty for moves taken back);
    ``instead``: the way that is enough; ``way``: its moves as held there;
    ``story``: that way, a text a turn.
    """

    token: int
    lost: str
    called: str
    instead: str
    way: str
    story: tuple[str, ...]


def losses(scramble: str, report: PlanReport, tongue: Tongue = ENGLISH) -> tuple[Loss, ...]:
    """Say of each lost move what was lost, what the position called for and what to do instead."""
    return tuple(_loss(scramble, report, lost, tongue) for lost in report.lost)


def story_in_words(
    scramble: str, solution: ShortestSolution, tongue: Tongue = ENGLISH
) -> tuple[str, ...]:
    """Tell a shortest solution of a report, a text a turn."""
    return tell(story_of(scramble, solution.text, solution.colour, solution.ideas), tongue)


def listed_ideas(codes: Sequence[str], tongue: Tongue = ENGLISH, last: str = words.AND) -> str:
    """Return techniques as a sentence names them.

    >>> listed_ideas(["base_turn", "shared_turn"])
    'a base turn and a shared turn'
    """
    return tongue.listed(
        [tongue.say(words.AN_IDEA, name=words.name_of(code, tongue)) for code in codes], last
    )


def _loss(scramble: str, report: PlanReport, lost: LostMove, tongue: Tongue) -> Loss:
    tokens = report.canonical.split()
    before = " ".join(tokens[: lost.token])
    way = lost.way
    return Loss(
        token=lost.token,
        lost=sentence(_what(tokens, lost, tongue)),
        called=sentence(_called(lost, tongue)) if lost.kind in ("idea", "spare") else "",
        instead=tongue.say(words.INSTEAD, way=moves_in(way.text)) if way.text else "",
        way=way.text,
        story=tell(story_of(scramble, way.text, way.colour, way.ideas, after=before), tongue),
    )


def _what(tokens: Sequence[str], lost: LostMove, tongue: Tongue) -> str:
    move, place = moves_in(tokens[lost.token]), _place(lost.token)
    if lost.span is not None and lost.kind == "again":
        first, last = lost.span
        later = _place(last - 1)
        if not any(_moves(token) for token in tokens[:first]):
            return tongue.say(words.AGAIN_START, later=later)
        return tongue.say(words.AGAIN_AFTER, later=later, earlier=_place(first - 1))
    if lost.span is not None:
        first, second = lost.span
        other = second if lost.token == first else first
        template = words.JOINED
        if lost.kind == "taken_back":
            template = words.TAKES_BACK if lost.token == second else words.TAKEN_BACK
        elif lost.token == second:
            first, second = second, first
            move, other, place = moves_in(tokens[second]), first, _place(second)
        return tongue.say(
            template,
            move=move,
            place=place,
            other=moves_in(tokens[other]),
            other_place=_place(other),
        )
    return tongue.count(words.LOST, lost.loss, move=move, place=place)


def _called(lost: LostMove, tongue: Tongue) -> str:
    if lost.kind == "idea":
        called = [code for code in lost.missing if code in lost.called]
        if called:
            return tongue.say(words.CALLED_FOR, ideas=listed_ideas(called, tongue))
        return tongue.say(words.NEAREST_USES, ideas=listed_ideas(lost.missing, tongue))
    kinds = zip((words.MORE_BASE, words.MORE_TOP, words.MORE_SIDE), lost.more, strict=True)
    more = [tongue.count(template, number) for template, number in kinds if number]
    if not more:
        return tongue.gettext(words.SAME_LENGTH)
    return tongue.say(words.SAME_IDEAS, more=tongue.listed(more, words.AND))


def _place(token: int) -> int:
    """Return which written move a token is, counted from 1 as people do."""
    return token + 1


def _moves(token: str) -> int:
    return parse(token)[0].moves


def unsolved(report: PlanReport, tongue: Tongue = ENGLISH) -> tuple[str, ...]:
    """Say how far an unsolved plan came; nothing for a solved one or one without moves."""
    if report.solved or not report.ledger:
        return ()
    colour = tongue.gettext(words.COLOURS[report.colour])
    said = [tongue.count(words.SHORT, report.distance_left)]
    if report.missing:
        said.append(tongue.say(words.FINISH, way=moves_in(report.missing)))
    if report.edges_home:
        said.append(tongue.count(words.HOME_COUNT, report.edges_home, colour=colour))
    else:
        said.append(tongue.say(words.NONE_HOME, colour=colour))
    fitting = edges_that_fit(report, tongue)
    return (*(sentence(text) for text in said), *([fitting] if fitting else []))


def edges_that_fit(report: PlanReport, tongue: Tongue = ENGLISH) -> str:
    """Say how many edges beside those at home fit together; nothing when none do."""
    if report.solved or not report.edges_relative:
        return ""
    template = words.RELATIVE_BESIDE if report.edges_home else words.RELATIVE_ALONE
    return sentence(tongue.say(template, number=tongue.number(report.edges_relative)))


def hint_in_words(hint: Hint, tongue: Tongue = ENGLISH) -> str:
    """Say what may have gone wrong."""
    # Reports by older rules counted a rotation as a move.
    place = hint.move or (hint.token or 0) + 1
    turned = hint.was[:1] in set("xyz") and hint.kind != "swap"
    template, other_place = {
        "held": (words.HINT_HELD, 0),
        "mirrored": (words.HINT_MIRRORED, 0),
        "swap": (words.HINT_SWAP, place + (2 if hint.was[:1] in set("MES") else 1)),
        "change": (words.HINT_CHANGE_ROTATION if turned else words.HINT_CHANGE, 0),
        "drop": (words.HINT_DROP_ROTATION if turned else words.HINT_DROP, 0),
        "add": (words.HINT_ADD, 0),
    }[hint.kind]
    if hint.kind == "swap" and set(hint.was) & set("xyz"):
        template = words.HINT_SWAP_ROTATION
    return sentence(
        tongue.say(
            template,
            place=place,
            other_place=other_place,
            was=moves_in(hint.was),
            instead=moves_in(hint.instead),
            plan=moves_in(hint.plan),
            top=tongue.gettext(words.COLOURS[hint.top]) if hint.top else "",
            front=tongue.gettext(words.COLOURS[hint.front]) if hint.front else "",
        )
    )


def other_scramble(number: int, tongue: Tongue = ENGLISH) -> str:
    """Say that the plan solves another scramble of its set (one whose answers are open)."""
    return sentence(tongue.say(words.HINT_OTHER, number=number))


def handling_in_words(
    handling: Handling, tongue: Tongue = ENGLISH, *, solved: bool = True
) -> tuple[str, ...]:
    """Say what is worth noting beside a plan's moves; it never counts.

    Where the cross ends is told of a ``solved`` one only.
    """
    said = [tongue.gettext(words.ENDS_ON[handling.ends_on])] if solved else []
    if handling.rotations_after_first_move:
        said.append(tongue.count(words.ROTATIONS_AFTER, handling.rotations_after_first_move))
    if handling.back_turns:
        said.append(tongue.count(words.BACK_TURNS, handling.back_turns))
    return tuple(sentence(text) for text in said)
