"""The frame of every page, and the whole pages that stand in for one that cannot be shown."""
