"""A story in sentences: events in, text out."""

from __future__ import annotations

from solverworker.causes import IDEAS
from solverworker.causes.kinds import Happening, Phrase
from solverworker.cube.story import Beat, Moved, Story
from solverworker.tongue import ENGLISH, Tongue, sentence
from solverworker.words import vocabulary as words


def tell(story: Story, tongue: Tongue = ENGLISH) -> tuple[str, ...]:
    """Tell a story, a text a turn; before the first, if need be, what is there already.

    Moves stand in backticks. A turn's text is one sentence or two: what it does,
    and the name of the technique that happens in it.

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


def moves_in(way: str) -> str:
    """Return moves of a text as they stand in a sentence."""
    return words.MOVE.format(move=way)


class _Telling:
    def __init__(self, story: Story, tongue: Tongue) -> None:
        self.story, self.tongue = story, tongue
        self.named: set[str] = set()

    def told(self) -> tuple[str, ...]:
        opening = self._opening()
        beats = [self._beat(index, beat) for index, beat in enumerate(self.story.beats)]
        return (*([opening] if opening else []), *beats)

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
            text = self.tongue.count(words.HOME_ALREADY, len(settled), edges=self._colours(settled))
        elif len(settled) == 4:
            text = self.tongue.gettext(words.ALL_OFF)
        elif len(settled) == 1:
            ring = self.story.ring
            centre = ring[(ring.index(settled[0]) + quarters) % 4]
            text = self.tongue.say(
                words.ONE_OFF, edge=self._colour(settled[0]), centre=self._colour(centre)
            )
        elif len(settled) == 2 and self.story.across(*settled):
            text = self.tongue.say(words.BOTH_OFF_ACROSS, edges=self._colours(settled))
        else:
            text = self.tongue.say(words.SOME_OFF[quarters], edges=self._colours(settled))
        return sentence(text)

    def _beat(self, index: int, beat: Beat) -> str:
        does = self._base(index, beat) if beat.side == "base" else self._turn(index, beat)
        named = self._ideas(index, beat)
        if beat.side == "side":
            named.append(self._waiting(index, beat))
        if index + 1 == len(self.story.beats) and len(beat.before) < 4:
            named.append(self.tongue.gettext(words.DONE))
        return " ".join(sentence(text) for text in (does, *named) if text)

    # What a turn does

    def _turn(self, index: int, beat: Beat) -> str:
        does = self._does_all(index, beat, self._telling_edges(index, beat))
        template = words.DOES
        for code, idea in IDEAS.items():
            if code in beat.ideas and idea.does:
                template = idea.does[code in self.named]
                break
        return self.tongue.say(template, move=self._move(beat.token), does=does)

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
        return self.tongue.count(words.WAITS, len(ready), **self._and_their_moves(ready))

    def _that_wait(self, index: int, edges: list[Moved]) -> list[tuple[Moved, int]]:
        later = [(each, self._ready_for(index, each)) for each in edges]
        return [(each, turn) for each, turn in later if turn is not None]

    def _does_all(self, index: int, beat: Beat, edges: list[Moved]) -> str:
        """Return what a turn does to some edges, in one phrase."""
        waiting = self._that_wait(index, edges)
        if len(edges) > 1 and beat.side != "side" and len(waiting) == len(edges):
            template = words.ROUND_TOP_SOME if beat.side == "top" else words.ROUND_BOTTOM_SOME
            return self.tongue.say(template, **self._and_their_moves(waiting))
        phrases = [self._does(index, beat, each) for each in edges]
        does = phrases[0] if phrases else ""
        for phrase in phrases[1:]:
            does = self.tongue.say(words.ALSO, first=does, second=phrase)
        return does

    def _does(self, index: int, beat: Beat, moved: Moved) -> str:
        edge, end = self._edge(moved.edge), moved.end
        centre = self._colour(end.centres[0])
        ready = self._ready(index, moved)
        if moved.leaves:
            return self.tongue.say(words.LIFTS_OUT, edge=edge)
        if moved.returns and not moved.settles:
            return self.tongue.say(words.PUTS_BACK, edge=edge)
        if end.in_base and beat.side == "base" and moved.home:
            return self.tongue.say(words.ROUND_BOTTOM_HOME, edge=edge)
        if end.in_base and beat.side == "base":
            return self.tongue.say(words.ROUND_BOTTOM, edge=edge, centre=centre, ready=ready)
        if end.in_base:
            return self._goes_in(beat, moved, edge, centre)
        if end.layer == "middle":
            one, other = (self._colour(each) for each in end.centres)
            return self.tongue.say(words.TO_MIDDLE, edge=edge, one=one, other=other, ready=ready)
        if end.layer == "top":
            template = words.ROUND_TOP if beat.side == "top" else words.TO_TOP
        elif beat.side == "base":
            template = words.ROUND_BOTTOM_FLIPPED
        else:
            template = words.TO_BOTTOM_FLIPPED
        return self.tongue.say(template, edge=edge, centre=centre, ready=ready)

    def _goes_in(self, beat: Beat, moved: Moved, edge: str, centre: str) -> str:
        if not moved.settles:
            return self.tongue.say(words.GOES_IN_FOR_NOW, edge=edge, centre=centre)
        if moved.returns:
            return self.tongue.say(words.PUTS_BACK, edge=edge)
        if moved.home:
            drops = moved.start.layer == "top"
            return self.tongue.say(words.DROPS_HOME if drops else words.BRINGS_HOME, edge=edge)
        other = self._fellow(beat, moved.edge)
        if other is None:
            return self.tongue.say(words.GOES_IN_FIRST, edge=edge, centre=centre)
        across = self.story.across(moved.edge, other)
        template = words.GOES_IN_ACROSS if across else words.GOES_IN_NEXT_TO
        return self.tongue.say(template, edge=edge, centre=centre, other=self._edge(other))

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
        return self.tongue.say(words.READY, move=self._move(self.story.beats[later].token))

    def _and_their_moves(self, waiting: list[tuple[Moved, int]]) -> dict[str, str]:
        """Return edges and the moves that they wait for, in the order of these, as parts."""
        waiting = sorted(waiting, key=lambda each: each[1])
        moves = [self._move(self.story.beats[later].token) for _, later in waiting]
        return {
            "edges": self._colours(tuple(each.edge for each, _ in waiting)),
            "moves": self.tongue.listed(list(dict.fromkeys(moves)), words.AND),
        }

    def _base(self, index: int, beat: Beat) -> str:
        move = self._move(beat.token)
        if len(beat.before) == 4:
            amount = words.AMOUNT[2 if beat.token.endswith("2") else 1]
            return self.tongue.say(
                words.BASE_ALL_HOME, move=move, amount=self.tongue.gettext(amount)
            )
        if not beat.before:
            does = self._does_all(index, beat, self._telling_edges(index, beat))
            return self.tongue.say(words.DOES, move=move, does=does)
        carried = [
            self._does(index, beat, each)
            for each in beat.moved
            if each.edge not in beat.before and self._ready(index, each)
        ]
        if beat.next is None:
            text = self.tongue.say(words.BASE_SOME, move=move, edges=self._colours(beat.before))
        elif beat.quarters == 0:
            text = self.tongue.count(
                words.BASE_HOME,
                len(beat.before),
                move=move,
                edges=self._colours(beat.before),
                edge=self._edge(beat.next[0]),
            )
        else:
            edge, centre = beat.next
            text = self.tongue.say(
                words.BASE_GAP, move=move, edge=self._edge(edge), centre=self._colour(centre)
            )
        for phrase in carried:
            text = self.tongue.say(words.ALSO_CARRIES, turn=text, does=phrase)
        return text

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
        return self.tongue.say(phrase.text, edge=edge, move=self._move(phrase.move))
