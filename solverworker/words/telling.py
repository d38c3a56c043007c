"""A story in sentences: events in, text out."""

from __future__ import annotations

from typing import Final

from solverworker.causes import IDEAS
from solverworker.causes.kinds import Happening, Phrase
from solverworker.cube.story import Beat, Moved, Story
from solverworker.tongue import ENGLISH, Tongue, sentence
from solverworker.words import vocabulary as words


def tell(story: Story, tongue: Tongue = ENGLISH) -> tuple[str, ...]:
    """Tell a story, a text a turn; before the first, if need be, what is there already.

    Moves stand in backticks. A turn's text says what it does, and names the
    technique that happens in it. No sentence has more than SENTENCE words, no
    turn's text more than TURN: where there is more to tell, it is told briefer.
    First, if need be, comes how the cube is held.

    >>> from solverworker.cube.story import story_of
    >>> from solverworker.report import TechniqueTurns
    >>> shared = TechniqueTurns("shared_turn", turns=(0,))
    >>> for line in tell(story_of("R F", "F' R'", "yellow", [shared])):
    ...     print(line)
    The blue and orange edges are home already.
    `F'` is a shared turn: it brings ...
    `R'` brings the red edge down to its own centre. The cross is done.
    """
    return _Telling(story, tongue).told()


SENTENCE: Final = 25
TURN: Final = 45

BRIEFEST: Final = 3


def words_in(text: str) -> int:
    """Return how many words a text has; moves in one pair of backticks are one.

    >>> words_in("From there `R' D` is enough.")
    5
    """
    parts = text.split("`")
    return len("".join(["m" if n % 2 else part for n, part in enumerate(parts)]).split())


def moves_in(way: str) -> str:
    """Return moves of a text as they stand in a sentence."""
    return words.MOVE.format(move=way)


class _Telling:
    """Tells one story. ``brief``: how much of a turn's text is told in fewer words, 0 to
    BRIEFEST; each step tells less than the one before."""

    def __init__(self, story: Story, tongue: Tongue) -> None:
        self.story, self.tongue = story, tongue
        self.named: set[str] = set()
        self.brief = 0

    def told(self) -> tuple[str, ...]:
        before = [sentence(text) for text in (self._hold(), self._opening()) if text]
        beats = [self._beat(index, beat) for index, beat in enumerate(self.story.beats)]
        return (*before, *beats)

    def _say(self, template: str, **parts: object) -> str:
        return self.tongue.say(self._here(template), **parts)

    def _count(self, templates: tuple[str, str], number: int, **parts: object) -> str:
        if self.story.held == "top":
            templates = words.COUNTED_ON_TOP.get(templates, templates)
        return self.tongue.count(templates, number, **parts)

    def _here(self, template: str) -> str:
        """Return the template for the way in which the cube is held."""
        return words.ON_TOP.get(template, template) if self.story.held == "top" else template

    def _hold(self) -> str:
        if not self.story.rotation or not self.story.beats:
            return ""
        return self._say(
            words.HOLD_TO_TELL if self.story.told else words.HOLD,
            move=self._move(self.story.rotation),
            colour=self._colour(self.story.colour),
            front=self._colour(self.story.front),
        )

    def _colour(self, colour: str) -> str:
        return self.tongue.gettext(words.COLOURS[colour])

    def _edge(self, colour: str) -> str:
        return self.tongue.say(words.EDGE, colour=self._colour(colour))

    def _colours(self, colours: tuple[str, ...]) -> str:
        return self.tongue.listed([self._colour(each) for each in colours], words.AND)

    def _move(self, token: str) -> str:
        return words.MOVE.format(move=token)

    def _opening(self) -> str:
        settled, quarters = self.story.settled, self.story.quarters
        if not settled or not self.story.beats:
            return ""
        if not quarters:
            text = self._count(words.HOME_ALREADY, len(settled), edges=self._colours(settled))
        elif len(settled) == 4:
            text = self.tongue.gettext(words.ALL_OFF)
        elif len(settled) == 1:
            ring = self.story.ring
            centre = ring[(ring.index(settled[0]) + quarters) % 4]
            text = self._say(
                words.ONE_OFF, edge=self._colour(settled[0]), centre=self._colour(centre)
            )
        elif len(settled) == 2 and self.story.across(*settled):
            text = self._say(words.BOTH_OFF_ACROSS, edges=self._colours(settled))
        else:
            text = self._say(words.SOME_OFF[quarters], edges=self._colours(settled))
        return str(text)

    def _beat(self, index: int, beat: Beat) -> str:
        """Tell of a turn, as fully as there is room for."""
        named, told = set(self.named), ""
        for self.brief in range(BRIEFEST + 1):
            self.named = set(named)
            told = " ".join(sentence(text) for text in self._sentences(index, beat) if text)
            if words_in(told) <= TURN:
                break
        return told

    def _sentences(self, index: int, beat: Beat) -> list[str]:
        does = self._base(index, beat) if beat.side == "base" else self._turn(index, beat)
        more = self._ideas(index, beat)
        if beat.side == "side" and self.brief < BRIEFEST:
            more.append(self._waiting(index, beat))
        if index + 1 == len(self.story.beats) and len(beat.before) < 4:
            more.append(self.tongue.gettext(words.DONE))
        return [*does, *more]

    # What a turn does

    def _turn(self, index: int, beat: Beat) -> list[str]:
        template = words.DOES
        for code, idea in IDEAS.items():
            if code in beat.ideas and idea.does:
                template = idea.does[code in self.named]
                break
        first, *others = self._phrases(index, beat, self._telling_edges(index, beat)) or [""]
        said = self._say(template, move=self._move(beat.token), does=first)
        return self._with_more(said, others, words.ALSO)

    def _with_more(self, said: str, phrases: list[str], joining: str) -> list[str]:
        """Add phrases to a sentence while it has room, then in further ones."""
        sentences = [said]
        for phrase in phrases:
            longer = self._say(joining, first=sentences[-1], second=phrase)
            if words_in(longer) <= SENTENCE:
                sentences[-1] = longer
            else:
                sentences.append(self._say(words.IT_ALSO, does=phrase))
                joining = words.ALSO
        return sentences

    def _telling_edges(self, index: int, beat: Beat) -> list[Moved]:
        """Return the edges worth telling of: those for which the turn is made, if any."""
        aims = [each for each in beat.moved if each.nearer or each.leaves or each.returns]
        others = [each for each in beat.moved if each.edge not in beat.before]
        waiting = [each for each, _ in self._that_wait(index, others)]
        return sorted(
            aims or waiting or others,
            key=lambda each: (not each.leaves, not each.settles),
        )

    def _waiting(self, index: int, beat: Beat) -> str:
        """Say which other edges the turn leaves where a later turn helps them."""
        told = [each.edge for each in self._telling_edges(index, beat)]
        ready = self._that_wait(index, [each for each in beat.moved if each.edge not in told])
        if not ready:
            return ""
        return self._count(words.WAITS, len(ready), **self._and_their_moves(ready))

    def _that_wait(self, index: int, edges: list[Moved]) -> list[tuple[Moved, int]]:
        later = [(each, self._ready_for(index, each)) for each in edges]
        return [(each, turn) for each, turn in later if turn is not None]

    def _phrases(self, index: int, beat: Beat, edges: list[Moved]) -> list[str]:
        """Return what a turn does to some edges, in a phrase each or in one for all."""
        waiting = self._that_wait(index, edges)
        if len(edges) > 1 and beat.side != "side" and len(waiting) == len(edges):
            template = words.ROUND_TOP_SOME if beat.side == "top" else words.ROUND_BOTTOM_SOME
            return [self._say(template, **self._and_their_moves(waiting))]
        return [self._does(index, beat, each) for each in edges]

    def _does(self, index: int, beat: Beat, moved: Moved) -> str:
        edge, end = self._edge(moved.edge), moved.end
        centre = self._colour(end.centres[0])
        ready = self._ready(index, moved)
        if moved.leaves:
            template = words.LIFTS_OUT_BRIEF if self.brief > 1 else words.LIFTS_OUT
            return self._say(template, edge=edge)
        if moved.returns and not moved.settles:
            return self._say(words.PUTS_BACK, edge=edge)
        if end.in_base and beat.side == "base" and moved.home:
            return self._say(words.ROUND_BOTTOM_HOME, edge=edge)
        if end.in_base and beat.side == "base":
            return self._say(words.ROUND_BOTTOM, edge=edge, centre=centre, ready=ready)
        if end.in_base:
            return self._goes_in(beat, moved, edge, centre)
        if end.layer == "middle" and self.brief > 1:
            ready = words.NOT_READY if self.brief > 2 else ready
            return self._say(words.TO_MIDDLE_BRIEF, edge=edge, ready=ready)
        if end.layer == "middle":
            one, other = (self._colour(each) for each in end.centres)
            return self._say(words.TO_MIDDLE, edge=edge, one=one, other=other, ready=ready)
        if end.layer == "top":
            template = words.ROUND_TOP if beat.side == "top" else words.TO_TOP
        elif beat.side == "base":
            template = words.ROUND_BOTTOM if self.brief > 1 else words.ROUND_BOTTOM_FLIPPED
        else:
            template = words.TO_BOTTOM_FLIPPED
        return self._say(template, edge=edge, centre=centre, ready=ready)

    def _goes_in(self, beat: Beat, moved: Moved, edge: str, centre: str) -> str:
        if not moved.settles:
            return self._say(words.GOES_IN_FOR_NOW, edge=edge, centre=centre)
        if moved.returns:
            return self._say(words.PUTS_BACK, edge=edge)
        if moved.home:
            drops = moved.start.layer == "top"
            return self._say(words.DROPS_HOME if drops else words.BRINGS_HOME, edge=edge)
        if self.brief > 2:
            return self._say(words.GOES_IN_BRIEF, edge=edge, centre=centre)
        other = self._fellow(beat, moved.edge)
        if other is None:
            return self._say(words.GOES_IN_FIRST, edge=edge, centre=centre)
        across = self.story.across(moved.edge, other)
        template = words.GOES_IN_ACROSS if across else words.GOES_IN_NEXT_TO
        return self._say(template, edge=edge, centre=centre, other=self._edge(other))

    def _fellow(self, beat: Beat, edge: str) -> str | None:
        """Return a settled edge to name beside another: one next to it rather than across."""
        others = [each for each in beat.after if each != edge]
        beside = [each for each in others if not self.story.across(each, edge)]
        return next(iter(beside or others), None)

    def _ready_for(self, index: int, moved: Moved) -> int | None:
        """Return the later turn that the edge waits for, if it lies where that turn helps it."""
        for later in range(index + 1, len(self.story.beats)):
            for each in self.story.beats[later].moved:
                if each.edge == moved.edge:
                    return later if each.nearer else None
        return None

    def _ready(self, index: int, moved: Moved) -> str:
        later = self._ready_for(index, moved)
        if later is None:
            return words.NOT_READY
        return self._say(words.READY, move=self._move(self.story.beats[later].token))

    def _and_their_moves(self, waiting: list[tuple[Moved, int]]) -> dict[str, str]:
        """Return edges and the moves that they wait for, in the order of these, as parts."""
        waiting = sorted(waiting, key=lambda each: each[1])
        moves = [self._move(self.story.beats[later].token) for _, later in waiting]
        return {
            "edges": self._colours(tuple(each.edge for each, _ in waiting)),
            "moves": self.tongue.listed(list(dict.fromkeys(moves)), words.AND),
        }

    def _base(self, index: int, beat: Beat) -> list[str]:
        move = self._move(beat.token)
        if len(beat.before) == 4:
            amount = words.AMOUNT[2 if beat.token.endswith("2") else 1]
            return [self._say(words.BASE_ALL_HOME, move=move, amount=self.tongue.gettext(amount))]
        if not beat.before:
            first, *others = self._phrases(index, beat, self._telling_edges(index, beat)) or [""]
            return self._with_more(self._say(words.DOES, move=move, does=first), others, words.ALSO)
        carried = [
            each for each in beat.moved if each.edge not in beat.before and self._ready(index, each)
        ]
        if beat.next is None or not beat.stays:
            text = self._say(words.BASE_SOME, move=move, edges=self._colours(beat.before))
        elif beat.quarters == 0:
            text = self._count(
                words.BASE_HOME,
                len(beat.before),
                move=move,
                edges=self._colours(beat.before),
                edge=self._edge(beat.next[0]),
            )
        else:
            edge, centre = beat.next
            text = self._say(
                words.BASE_GAP, move=move, edge=self._edge(edge), centre=self._colour(centre)
            )
        return self._with_more(text, self._carries(index, beat, carried), words.ALSO_CARRIES)

    def _carries(self, index: int, beat: Beat, edges: list[Moved]) -> list[str]:
        if self.brief > 1:
            return self._phrases(index, beat, edges)
        return [self._does(index, beat, each) for each in edges]

    # The names of techniques, where they happen

    def _ideas(self, index: int, beat: Beat) -> list[str]:
        named: list[str] = []
        for code, idea in IDEAS.items():
            if code in beat.ideas:
                happening = Happening(self.story, index, again=code in self.named)
                self.named.add(code)
                named += [self._phrase(phrase) for phrase in idea.phrases(happening)]
        return named

    def _phrase(self, phrase: Phrase) -> str:
        edge = self._edge(phrase.edge) if phrase.edge else ""
        text = phrase.brief if phrase.brief and self.brief else phrase.text
        return self._say(text, edge=edge, move=self._move(phrase.move))
