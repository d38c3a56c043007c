"""Where files are kept that can be made again: compiled code, tables."""

from __future__ import annotations

import os
from pathlib import Path


def cache_home() -> Path:
    """Return the folder for files that can be made again; it need not exist yet.

    ``WITHIN_EIGHT_CACHE`` if set, else ``within-eight`` in the user's cache
    folder (``XDG_CACHE_HOME``, or ``~/.cache``). Raises RuntimeError when the
    account has no home folder.
    """
    own = os.environ.get("WITHIN_EIGHT_CACHE")
    if own:
        return Path(own).absolute()
    base = os.environ.get("XDG_CACHE_HOME")
    home = Path(base) if base and Path(base).is_absolute() else Path.home() / ".cache"
    return home / "within-eight"
