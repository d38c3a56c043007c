"""Does the account name what members do? Clubs with planted habits, by simulation.

    python -m tests.bench.recovery [naming] [equals] [improvers] [lessons]
        [slip_lessons] [intervals]

Without a word all six, some minutes. ``naming``: is the heading named first
the right one for each kind of member; ``equals``: is anybody flagged among
members who are alike, and is the one who is not; ``improvers``: is anybody told
to have improved where nothing changed; ``lessons``: is "likely better
since the lesson" said where something changed and only there, of ideas;
``slip_lessons``: the same of a slip, against members who were not taught; ``intervals``: do
intervals of rates hold the true ones.
"""
