"""Settings that the tests of the mathematics share."""

from hypothesis import settings

# The first example of a test may build a reference table, and machines are
# shared: how long one example takes says nothing.
settings.register_profile("mathematics", deadline=None)
settings.load_profile("mathematics")
