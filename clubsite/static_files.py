"""Styles, scripts and icons, each under a name that holds a digest of what is in it.

Such an address never changes its content, so a browser keeps it for a year and asks no more; a
new version has a new address. The files stand where they are: nothing is collected or built, so
no copy can go stale.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, ClassVar

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import HashedFilesMixin, StaticFilesStorage
from django.core.files.base import File
from whitenoise.middleware import WhiteNoiseMiddleware

YEAR = 365 * 24 * 60 * 60
"""Seconds."""


def _found(name: str) -> str | None:
    return finders.find(name)


class NamedByContent(HashedFilesMixin, StaticFilesStorage):  # type: ignore[misc]
    """Gives ``css/base.css`` the address ``css/base.3f1c….css``, read from where the file stands.

    Files that name others by relative addresses would need them rewritten: ours name none
    (``tests/house`` looks).

    Raises:
        ValueError: from ``url``, for a file that is not there.
    """

    def exists(self, name: str) -> bool:
        return _found(name) is not None

    def open(self, name: str, mode: str = "rb") -> File[bytes]:
        path = _found(name)
        if path is None:
            raise FileNotFoundError(name)
        return File(Path(path).open("rb"), name)

    def stored_name(self, name: str) -> str:
        return _stored_name(self, name)


@cache
def _stored_name(storage: NamedByContent, name: str) -> str:
    return str(storage.hashed_name(name))


class StaticFiles(WhiteNoiseMiddleware):  # type: ignore[misc]
    """Serves each file under its name by content, for a year, and under its plain name."""

    FOREVER = YEAR
    files: dict[str, Any]
    _looked_up: ClassVar[dict[str, dict[str, Any]]] = {}

    def add_files_from_finders(self) -> None:
        """Found once in a process: each client of a test begins a middleware of its own."""
        if self.static_prefix not in self._looked_up:
            super().add_files_from_finders()
            self._looked_up[self.static_prefix] = dict(self.files)
        self.files = dict(self._looked_up[self.static_prefix])

    def add_file_to_dictionary(self, url: str, path: str, stat_cache: Any = None) -> None:
        super().add_file_to_dictionary(url, path, stat_cache=stat_cache)
        by_content = self.get_static_url(url.removeprefix(self.static_prefix))
        if by_content and by_content != url:
            super().add_file_to_dictionary(by_content, path, stat_cache=stat_cache)
