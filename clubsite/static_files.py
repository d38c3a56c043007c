"""Styles, scripts and icons, each under a name that holds a digest of what is in it.

Such an address never changes its content, so a browser keeps it for a year and asks no more; a
new version has a new address. The files stand where they are: nothing is collected or built, so
no copy can go stale. Our own styles and scripts are sent from memory, in fewer bytes
(``static_contents``).
"""

from __future__ import annotations

import gzip
import hashlib
import io
from contextlib import suppress
from dataclasses import dataclass
from email.utils import parsedate
from functools import cache
from http import HTTPStatus
from pathlib import Path
from typing import Any, ClassVar
from wsgiref.headers import Headers

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import HashedFilesMixin, StaticFilesStorage
from django.core.files.base import ContentFile, File
from whitenoise.middleware import WhiteNoiseMiddleware
from whitenoise.responders import NOT_ALLOWED_RESPONSE, Response, StaticFile

from clubsite.static_contents import Content, content_of

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
        return _found(name) is not None or content_of(name) is not None

    def open(self, name: str, mode: str = "rb") -> File[bytes]:
        content = content_of(name)
        if content is not None:
            return ContentFile(content.body, name)
        path = _found(name)
        if path is None:
            raise FileNotFoundError(name)
        return File(Path(path).open("rb"), name)

    def stored_name(self, name: str) -> str:
        return _stored_name(self, name)


@cache
def _stored_name(storage: NamedByContent, name: str) -> str:
    return str(storage.hashed_name(name))


@dataclass(frozen=True, slots=True)
class _InMemory:
    """What WhiteNoise asks of a file, of one that has no path."""

    path: bytes
    size: int
    mtime: float


class SentFromMemory(StaticFile):  # type: ignore[misc]
    """Answers for a content as WhiteNoise does for a file: whole, compressed, in part, or 304.

    Compressed once, at the start, and as small as it gets: nothing in it is anybody's secret, so
    its size may be told.
    """

    def __init__(self, content: Content, headers: list[tuple[str, str]]) -> None:
        bodies = {None: content.body, "gzip": gzip.compress(content.body, 9, mtime=0)}
        entries = {
            coding: _InMemory(body, len(body), content.changed) for coding, body in bodies.items()
        }
        # Weak (RFC 9110): one for both codings.
        named = f'W/"{hashlib.sha256(content.body).hexdigest()[:12]}"'
        told = self.get_headers([*headers, ("ETag", named)], entries)
        self.etag = named
        self.last_modified = parsedate(told["Last-Modified"])
        self.not_modified_response = self.get_not_modified_response(told)
        self.alternatives = self.get_alternatives(told, entries)

    def get_response(self, method: str, request_headers: dict[str, str]) -> Response:
        if method not in ("GET", "HEAD"):
            return NOT_ALLOWED_RESPONSE
        if self.is_not_modified(request_headers):
            return self.not_modified_response
        part = request_headers.get("HTTP_RANGE")
        # A part (206) is one of what is not compressed.
        accepted = {} if part or method == "HEAD" else request_headers
        body, headers = self.get_path_and_headers(accepted)
        if method == "HEAD":
            return Response(HTTPStatus.OK, headers, None)
        if part:
            with suppress(ValueError):
                return self.get_range_response(part, headers, io.BytesIO(body))
        return Response(HTTPStatus.OK, headers, io.BytesIO(body))


class StaticFiles(WhiteNoiseMiddleware):  # type: ignore[misc]
    """Serves each file under its name by content, for a year, and under its plain name."""

    FOREVER = YEAR
    files: dict[str, Any]
    _looked_up: ClassVar[dict[str, dict[str, Any]]] = {}

    def add_files_from_finders(self) -> None:
        """Found once in a process: each client of a test begins a middleware of its own."""
        if self.static_prefix not in self._looked_up:
            super().add_files_from_finders()
            for name in settings.SENT_TOGETHER:
                self.add_file_to_dictionary(self.static_prefix + name, name)
            self._looked_up[self.static_prefix] = dict(self.files)
        self.files = dict(self._looked_up[self.static_prefix])

    def add_file_to_dictionary(self, url: str, path: str, stat_cache: Any = None) -> None:
        name = url.removeprefix(self.static_prefix)
        content = content_of(name)
        for address in {url, self.get_static_url(name) or url}:
            if content is None:
                super().add_file_to_dictionary(address, path, stat_cache=stat_cache)
            else:
                self.files[address] = self._sent_from_memory(content, path, address)

    def find_file(self, url: str) -> Any:
        """Asked at each request while somebody changes the files (``DEBUG``)."""
        if url.startswith(self.static_prefix) and self.url_is_canonical(url):
            content = content_of(url.removeprefix(self.static_prefix))
            if content is not None:
                return self._sent_from_memory(content, url, url)
        return super().find_file(url)

    def _sent_from_memory(self, content: Content, path: str, url: str) -> SentFromMemory:
        headers = Headers([])
        self.add_mime_headers(headers, path, url)
        self.add_cache_headers(headers, path, url)
        return SentFromMemory(content, headers.items())
