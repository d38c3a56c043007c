"""Does the account name what members do? Clubs with planted habits, by simulation.

    python -m tests.bench.recovery [naming] [equals] [lessons] [intervals]

Without a word all four, some minutes. ``naming``: is the heading named first
the right one for each kind of member; ``equals``: is anybody flagged among
members who are alike, and is the one who is not; ``lessons``: is "likely better
since the lesson" said where something changed and only there; ``intervals``: do
intervals of rates hold the true ones.
"""
