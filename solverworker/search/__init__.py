"""Searching: compiled kernels on arrays, and typed functions in front of them.

Importing this package loads nothing; its modules load numba and the kernels.
"""


def warm_up() -> None:
    """Load every kernel (compiled before, or compiled now) and make every table."""
    from solverworker.search import cross

    cross.warm_up()
