"""Plans and ways to the cross in words: events in, sentences out.

Plain Python: pages use it without loading the solver. What happened comes from
a report (:mod:`solverworker.report`) and the scramble; every word stands in
:mod:`solverworker.words.vocabulary` or, when it is about one idea, in that
idea's file (:mod:`solverworker.causes`).
"""

from solverworker.cube.story import Story, story_of
from solverworker.tongue import ENGLISH, Tongue
from solverworker.words.report_in_words import (
    Loss,
    edges_that_fit,
    handling_in_words,
    hint_in_words,
    listed_ideas,
    losses,
    other_scramble,
    story_in_words,
    unsolved,
)
from solverworker.words.telling import moves_in, tell
from solverworker.words.vocabulary import name_of

__all__ = [
    "ENGLISH",
    "Loss",
    "Story",
    "Tongue",
    "edges_that_fit",
    "handling_in_words",
    "hint_in_words",
    "listed_ideas",
    "losses",
    "moves_in",
    "name_of",
    "other_scramble",
    "story_in_words",
    "story_of",
    "tell",
    "unsolved",
]
