"""What a plan leaves, in sentences: each follows from the numbers beside it."""

from __future__ import annotations

import pytest

from solverworker.outlook import OnTheHands, PairAhead, PairLeft, PlanOutlook
from solverworker.report import COLOURS
from solverworker.review import check_plan
from training.web.saying import outlooks as saying

CROSS = "D' R'"


def left(moves: int, pair: int) -> PairLeft:
    return PairLeft(moves=moves, left=pair, slot="green-red", way="", then="")


def ahead(**parts) -> PairAhead:
    known = {
        "solved": True,
        "slot": "blue-red",
        "moves": 5,
        "from_cross": 4,
        "from_cross_way": "",
        "whole": 11,
        "best": 9,
        "best_way": "",
    }
    return PairAhead(**{**known, **parts})


@pytest.mark.parametrize(
    ("own", "shortest", "said", "shown"),
    [
        ((6, 6), (6, 3), "Another cross in 6 moves leaves one in 3 instead of 6:", True),
        ((6, 6), (6, 0), "Another cross in 6 moves brings a first pair in with it:", True),
        ((6, 3), (6, 3), "No cross in 6 moves leaves a nearer one.", False),
        ((7, 3), (6, 3), "Of the shortest crosses, in 6 moves, the best for the pair leaves", True),
        ((7, 3), (6, 0), "One of the shortest crosses, in 6 moves, brings a first pair", True),
    ],
)
def test_what_is_left_is_compared_with_what_could_be(own, shortest, said, shown) -> None:
    words, show = saying.shortest_words(left(*own), left(*shortest))
    assert words.startswith(said)
    assert show is shown


def test_one_move_more_is_told_only_where_it_pays() -> None:
    assert saying.longer_words(left(6, 3), left(7, 2))[1] is False
    words, show = saying.longer_words(left(6, 4), left(7, 2))
    assert (words, show) == (
        "One move more pays: a cross in 7 moves leaves one in 2, 9 moves together. "
        "After a shortest cross it is 10.",
        True,
    )
    assert "brings a first pair in with it" in saying.longer_words(left(6, 4), left(7, 0))[0]


def test_the_hands_are_told_as_a_count() -> None:
    words, show = saying.hands_words(OnTheHands(cost=9, least=5, ways=12, easier=1, way="R"))
    assert (words, show) == ("Of the 12 shortest crosses 1 is easier on the hands:", True)
    words, show = saying.hands_words(OnTheHands(cost=5, least=5, ways=12, easier=0, way="R"))
    assert (words, show) == ("Of the 12 shortest crosses none is easier on the hands.", False)


def test_other_colours_are_told_where_they_were_nearer_than_the_best() -> None:
    report = check_plan("R D", CROSS, colours=["yellow"])
    far = dict.fromkeys(COLOURS, 2) | {"white": 1, "red": 0}
    found = PlanOutlook(distances=tuple(far.values()))
    assert saying.nearer_colours(found, report) == "Shorter in another colour: white 1 and red 0."
    found = PlanOutlook(distances=(2,) * 6)
    assert (
        saying.nearer_colours(found, report) == "In no colour was the cross shorter than 2 moves."
    )


def test_a_pair_is_told_beside_the_best_from_there_and_from_the_scramble() -> None:
    assert saying.pair_words(ahead(), solves=True, own=True) == (
        "Your first pair is in: blue and red, in 5 moves."
    )
    assert saying.from_cross_words(ahead(), solves=True) == (
        "From where the cross ends a pair takes 4 moves at least:",
        True,
    )
    assert saying.from_cross_words(ahead(moves=4), solves=True)[1] is False
    assert saying.best_words(ahead()) == (
        "Cross and first pair took 11 moves together. The best is 9:",
        True,
    )
    assert saying.best_words(ahead(whole=9))[1] is False
    missed = ahead(solved=False, slot="")
    assert "no pair is in" in saying.pair_words(missed, solves=True, own=True)
    assert "cross and pair take 4 moves" in saying.from_cross_words(missed, solves=False)[0]
    assert saying.best_words(missed)[0].startswith("Cross and first pair together take 9 moves")
