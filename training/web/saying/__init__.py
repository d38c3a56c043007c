"""Words, numbers and times for people: the only place with sentences that several pages say.

A sentence that one page alone says stands in that page's folder. Everything is marked for
gettext; a number and its unit come from :func:`counting.count`, so that no page makes plurals.
"""
