"""What the club's sets are drawn with: the two ways in which a worker draws scrambles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solverworker.cube.chance import Stream
from solverworker.techniques.profiles import (
    LENGTHS,
    NoCrossMatches,
    Profile,
    TooRare,
    draw_picked,
)


def draw_called(
    technique: str | None, lengths: Sequence[int] | None, colours: Sequence[str], seed: str
) -> str:
    """Return a scramble of a picked set.

    ``technique``: called for at the start (None: any cross); ``lengths``: least
    and greatest best (None: any); ``colours``: allowed; ``seed``: gives the
    same scramble again. Where no cross is so the nearest that there is is drawn,
    where too few are, a shorter one.

    >>> from solverworker.cube.chance import new_seed
    >>> from solverworker.review import check_plan
    >>> scramble = draw_called("base_turn", [4, 5], ["white"], new_seed())
    >>> 4 <= check_plan(scramble, "", colours=["white"]).best <= 5
    True
    """
    profile = Profile(
        colours=tuple(colours),
        lengths=(lengths[0], lengths[1]) if lengths else LENGTHS,
        called=frozenset([technique] if technique else []),
    )
    source = Stream(seed)
    while True:
        try:
            return draw_picked(profile, source)
        except NoCrossMatches as none:
            profile = none.nearest
        except TooRare:
            least, most = profile.lengths
            if not most:
                raise
            profile = replace(profile, lengths=(max(0, least - 1), most - 1))
