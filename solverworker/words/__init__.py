"""Plans and ways to the cross in words: events in, sentences out.

Plain Python: pages use it without loading the solver. What happened comes from
a report (:mod:`solverworker.report`) and the scramble; every word stands in
:mod:`solverworker.words.vocabulary`.
"""

from solverworker.words.remarks import (
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
from solverworker.words.story import Story, story_of
from solverworker.words.telling import moves_in, tell
from solverworker.words.tongue import ENGLISH, Tongue
from solverworker.words.vocabulary import ENTRIES, Entry, name_of

__all__ = [
    "ENGLISH",
    "ENTRIES",
    "Entry",
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
