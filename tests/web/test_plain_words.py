"""Plain words for numbers: a wording follows from the number, over all counts that can come.

The rule is stated in the module: the nearest tenth, halves up. It is worked out here by looking
for the tenth with the least distance. Common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from training.web.saying import plainly

TENTHS = {
    "none so far": 0,
    "hardly ever": 0,
    "nearly always": 10,
    "always": 10,
    **{f"about {n} in 10": n for n in range(1, 10)},
    **{f"{n} in 10": n for n in range(1, 10)},
}


def nearest_tenth(rate: Fraction) -> int:
    """By trying all eleven: the nearest, the greater of two equally near."""
    return min(range(11), key=lambda n: (abs(Fraction(n, 10) - rate), -n))


def test_every_count_to_two_hundred_is_said_by_the_nearest_tenth() -> None:
    for whole in range(1, 201):
        for part in range(whole + 1):
            said, rate = plainly.in_ten(part, whole), Fraction(part, whole)
            assert TENTHS[said] == nearest_tenth(rate), (part, whole, said)
            assert (said == "always") == (part == whole)
            assert (said == "none so far") == (part == 0)
            exactly = Fraction(TENTHS[said], 10) == rate
            assert said.startswith("about") == (not exactly and said[-2:] == "10"), (part, whole)


def test_more_is_never_said_to_be_less() -> None:
    for whole in (5, 7, 24, 60):
        tenths = [TENTHS[plainly.in_ten(part, whole)] for part in range(whole + 1)]
        assert tenths == sorted(tenths)


def test_a_chance_is_said_as_the_count_that_has_it() -> None:
    for whole in (5, 8, 20, 37, 60):
        for part in range(whole + 1):
            assert plainly.chance_in_ten(part / whole) == plainly.in_ten(part, whole)


@pytest.mark.parametrize(("part", "whole"), [(1, 0), (0, 0), (3, 2), (-1, 5)])
def test_what_is_no_rate_is_refused(part: int, whole: int) -> None:
    with pytest.raises(ValueError, match="is no rate"):
        plainly.in_ten(part, whole)


def test_few_have_no_rate() -> None:
    for whole in range(1, 5):
        assert plainly.rate(whole, whole) == f"{whole} of {whole}"
    assert plainly.rate(5, 5) == "always"


def test_whole_numbers_first_and_about_only_where_they_are_not() -> None:
    for n in range(200):
        number = Fraction(n, 12)
        said = plainly.about_points(number)
        if number.denominator == 1:
            assert said == str(int(number))
        elif number < Fraction(1, 2):
            assert said == "under 1"
        else:
            whole = min(range(20), key=lambda one: (abs(one - number), -one))
            assert said == f"about {whole}"
        words = plainly.about(number, "move")
        unit = "1 move" if said.endswith(" 1") or said == "1" else "moves"
        assert unit in words
        assert words.startswith(("about", "less than")) == (number.denominator != 1)


def test_a_difference_has_the_sign_of_its_number() -> None:
    for n in range(-300, 301):
        said = plainly.difference_in_ten(n / 100)
        tenfold = Fraction(n, 10)
        whole = min(range(-31, 32), key=lambda one: (abs(one - tenfold), -abs(one)))
        if not whole:
            assert said == "as the others", n
        else:
            way = "more" if n > 0 else "fewer"
            assert said == f"{abs(whole)} {way} in 10 plans", n
