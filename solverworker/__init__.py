"""The mathematics of crosses, and the workers that check plans with it."""
