"""What a report says of a plan, in sentences: lost moves, what is missing, slips, handling."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solverworker.cube.holds import layers_of
from solverworker.cube.notation import parse
from solverworker.cube.story import Story, story_of
from solverworker.report import Handling, Hint, LostMove, PlanReport, ShortestSolution
from solverworker.tongue import ENGLISH, Tongue, sentence
from solverworker.words import vocabulary as words
from solverworker.words.telling import SENTENCE, moves_in, tell, words_in


@dataclass(frozen=True, slots=True)
class Loss:
    """A lost move in words.

    ``token``: its place in the ledger, from 0; ``number``: which move it is, as
    moves count, from 1; ``lost``: what was lost;
    ``called``: what there was instead, in ideas (empty for moves taken back);
    ``instead``: the way that is enough; ``way``: its moves as held there;
    ``story``: that way, a text a turn.
    """

    token: int
    number: int
    lost: str
    called: str
    instead: str
    way: str
    story: tuple[str, ...]


def losses(scramble: str, report: PlanReport, tongue: Tongue = ENGLISH) -> tuple[Loss, ...]:
    """Say of each lost move what was lost, what the position called for and what to do instead."""
    return tuple(_loss(scramble, report, lost, tongue) for lost in report.lost)


def story_in_words(
    scramble: str, solution: ShortestSolution, tongue: Tongue = ENGLISH, *, after: str = ""
) -> tuple[str, ...]:
    """Tell a shortest solution of a report, a text a turn; ``after``: moves made before it."""
    story = story_of(scramble, solution.text, solution.colour, solution.ideas, after=after)
    return tell(story, tongue)


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
    story = story_of(scramble, way.text, way.colour, way.ideas, after=before)
    return Loss(
        token=lost.token,
        number=_place(tokens, lost.token),
        lost=sentence(_what(tokens, lost, tongue)),
        called=sentence(_called(lost, story, tongue)) if lost.kind in ("idea", "spare") else "",
        instead=tongue.say(words.INSTEAD, way=moves_in(way.text)) if way.text else "",
        way=way.text,
        story=tell(story, tongue),
    )


def _what(tokens: Sequence[str], lost: LostMove, tongue: Tongue) -> str:
    """Return what a move lost, the number first, and why where moves were wasted."""
    token = tokens[lost.token]
    layers = [moves_in(layer) for layer in layers_of(parse(token)[0])]
    said = tongue.count(
        words.LOST_SLICE if len(layers) > 1 else words.LOST,
        lost.loss,
        move=moves_in(token),
        place=_place(tokens, lost.token),
        layers=tongue.listed(layers, words.AND),
    )
    if lost.span is None:
        return said
    why = _circle(tokens, lost.span, tongue)
    if lost.kind != "again":
        why = _wasted(tokens, lost, lost.span, tongue)
    return tongue.say(words.BECAUSE, lost=said, why=why)


def _circle(tokens: Sequence[str], span: tuple[int, int], tongue: Tongue) -> str:
    if span[1] - span[0] == 1:
        return tongue.gettext(words.IDLE)
    first, last = (_moves(tokens[:count]) for count in span)
    if not first:
        return tongue.say(words.AGAIN_START, later=last)
    return tongue.say(words.AGAIN_AFTER, later=last, earlier=first)


def _wasted(tokens: Sequence[str], lost: LostMove, span: tuple[int, int], tongue: Tongue) -> str:
    """Say which move takes a move back, or could be one with it."""
    first, second = span
    other = second if lost.token == first else first
    pair = [parse(tokens[place])[0] for place in span]
    back = lost.kind == "taken_back"
    if any(token.moves > 1 for token in pair):
        template = words.PART_JOINED
        if back:
            template = words.PART_TAKES_BACK if lost.token == second else words.PART_TAKEN_BACK
    elif back != (sum(token.quarters for token in pair) % 4 == 0):
        # There are more turns of that layer than these two.
        template = words.ALL_TAKE_BACK if back else words.ALL_JOINED
    elif back:
        template = words.TAKES_BACK if lost.token == second else words.TAKEN_BACK
    else:
        template = words.JOINED
    return tongue.say(template, other=moves_in(tokens[other]), other_place=_place(tokens, other))


def _called(lost: LostMove, story: Story, tongue: Tongue) -> str:
    if lost.kind == "idea":
        called = [code for code in lost.missing if code in lost.called]
        if called:
            return tongue.say(words.CALLED_FOR, ideas=listed_ideas(called, tongue))
        return tongue.say(words.NEAREST_USES, ideas=listed_ideas(lost.missing, tongue))
    kinds = zip(words.MORE["side" if story.told else story.held], lost.more, strict=True)
    more = [tongue.count(template, number) for template, number in kinds if number]
    # Told only where it is this loss: the plan may lose more later, and have fewer of a kind.
    if sum(lost.more) != lost.loss:
        return tongue.gettext(words.SAME_LENGTH)
    said = tongue.say(words.SAME_IDEAS, more=tongue.listed(more, words.AND))
    return said if words_in(said) <= SENTENCE else tongue.gettext(words.SAME_LENGTH)


def _place(tokens: Sequence[str], token: int) -> int:
    """Return the number of a written move as moves count: rotations nothing, slices two."""
    return _moves(tokens[:token]) + 1


def _moves(tokens: Sequence[str]) -> int:
    return sum(parse(token)[0].moves for token in tokens)


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
    templates = words.RELATIVE_BESIDE if report.edges_home else words.RELATIVE_ALONE
    at = report.handling.ends_on if report.handling else "bottom"
    return sentence(tongue.say(templates[at], number=tongue.number(report.edges_relative)))


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
