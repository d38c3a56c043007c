"""Searching: compiled kernels on arrays, and typed functions in front of them.

Importing this package loads nothing; its modules load numba and the kernels.
"""


def warm_up() -> None:
    """Load every kernel (compiled before, or compiled now); map or make every table."""
    from solverworker.search import cross, hands, pair, phase_tables, scramble

    del hands, scramble  # importing them has loaded their kernels
    cross.warm_up()
    phase_tables.phase_tables()
    pair.table()
