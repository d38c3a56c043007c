"""Logs: no way in stands in them, a full disk ends no writer, and files keep their modes.

Common practice, no source; ENOSPC is what POSIX (write) answers when there is no room.
"""

from __future__ import annotations

import errno
import logging
import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.urls import URLPattern, URLResolver, get_resolver

from clubsite.deploy import processes, serving
from clubsite.deploy.processes import Janitor, Log, Process
from clubsite.logs import LineWithoutTokens, without_tokens

TOKEN = "kX3v9-_tokenTOKEN"


class Disk:
    """What ``os.write`` of a log meets: room, no room, or room for so many bytes more."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.left: int | None = None
        self._write = os.write
        monkeypatch.setattr(processes.os, "write", self.write)

    def write(self, handle: int, data: bytes) -> int:
        if self.left is None:
            return self._write(handle, data)
        if self.left == 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        data = data[: self.left]
        self.left -= len(data)
        return self._write(handle, data)


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    return Disk(monkeypatch)


def test_writing_goes_on_once_there_is_room(tmp_path: Path, disk: Disk) -> None:
    log = Log(tmp_path / "web.log")
    log.write("before")
    disk.left = 0
    for number in range(3):
        log.write(f"lost {number}")
    disk.left = None
    log.write("after")
    log.close()
    assert log.path.read_text().splitlines() == [
        "before",
        "(3 lines before this one found no room.)",
        "after",
    ]


def test_a_line_cut_short_by_a_full_disk_ends_before_the_next(tmp_path: Path, disk: Disk) -> None:
    log = Log(tmp_path / "web.log")
    disk.left = 4
    log.write("cut short")
    disk.left = None
    log.write("after")
    log.close()
    lines = log.path.read_text().splitlines()
    assert lines == ["cut ", "(1 line before this one found no room.)", "after"]


def test_the_last_lines_are_known_even_if_they_found_no_room(tmp_path: Path, disk: Disk) -> None:
    log = Log(tmp_path / "web.log")
    disk.left = 0
    log.write("why it ended")
    assert log.recent() == ["why it ended"]


def test_a_log_opens_on_a_full_disk_but_not_where_it_may_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, said = os.open, [errno.ENOSPC]

    def refuse(*arguments: Any, **options: Any) -> int:
        if said:
            raise OSError(said[0], os.strerror(said[0]))
        return real(*arguments, **options)

    monkeypatch.setattr(processes.os, "open", refuse)
    log = Log(tmp_path / "web.log")
    log.write("lost")
    said.clear()
    log.write("kept")
    log.close()
    assert log.path.read_text().endswith("kept\n")
    said.append(errno.EACCES)
    with pytest.raises(PermissionError):
        Log(tmp_path / "other.log")


def test_where_no_new_file_can_be_had_the_old_one_is_written_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = Log(tmp_path / "web.log", most=10)
    log.write("a line that is long enough")
    real = os.open

    def refuse(*arguments: Any, **options: Any) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(processes.os, "open", refuse)
    log.write("one more")
    monkeypatch.setattr(processes.os, "open", real)
    log.write("in a new file")
    log.close()
    assert (tmp_path / "web.1.log").read_text() == "a line that is long enough\none more\n"
    assert log.path.read_text() == "in a new file\n"


def test_what_is_said_to_the_operator_may_find_no_room(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(*words: str, flush: bool) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(serving, "print", full, raising=False)
    serving.say("The worker has ended.")
    monkeypatch.undo()
    serving.say("It runs again.")
    assert capsys.readouterr().out == "It runs again.\n"


@pytest.fixture
def janitor() -> Iterator[Janitor]:
    made = Janitor()
    yield made
    made.dismiss()


def test_a_faulty_writer_stops_no_program(janitor: Janitor) -> None:
    """More than a pipe holds is written: a reader that had ended would stop it for ever."""
    kept: list[str] = []

    def sink(line: str) -> None:
        if len(kept) < 3:
            kept.append("")
            raise OSError(errno.ENOSPC, "No space left on device")
        kept.append(line)

    code = "for number in range(3000): print(str(number) * 20, flush=True)"
    program = Process(
        "talker", [sys.executable, "-c", code], environ={}, rank=1, sink=sink, janitor=janitor
    )
    assert program._popen.wait(timeout=30) == 0
    assert program.status() == 0
    assert kept[-1] == "2999" * 20


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize("given", [None, 0o640, 0o600])
def test_a_new_log_is_private_and_a_given_mode_stays(tmp_path: Path, given: int | None) -> None:
    path = tmp_path / "logs" / "web.log"
    if given is not None:
        path.parent.mkdir()
        path.touch()
        path.chmod(given)
    before = os.umask(0o077)
    try:
        log = Log(path, most=10)
        log.write("a line that is long enough")
        log.write("the first of a new file")
        log.close()
    finally:
        os.umask(before)
    assert path.read_text() == "the first of a new file\n"
    assert mode(path) == mode(path.with_suffix(".1.log")) == (given or 0o600)
    if given is None:
        assert mode(path.parent) == 0o700


def patterns(resolver: URLResolver, before: str = "/") -> Iterator[str]:
    """Every address with an argument that nobody is to guess, filled with one."""
    for one in resolver.url_patterns:
        if isinstance(one, URLResolver):
            yield from patterns(one, before + str(one.pattern))
        elif isinstance(one, URLPattern) and {"token", "secret"} & set(one.pattern.converters):
            address = str(one.pattern).replace("<str:secret>", TOKEN).replace("<int:post_id>", "1")
            yield before + address.replace("<str:token>", TOKEN)


def test_every_address_that_lets_somebody_in_is_cut_short() -> None:
    found = list(patterns(get_resolver()))
    names = [path.split("/")[1] for path in found]
    assert sorted(set(names)) == ["calendar", "join", "posts", "start"]
    for path in found:
        for text in (
            f"Bad Request: {path}",
            f'"GET {path}?a=b HTTP/1.1" 200',
            f"http://club.example{path.rstrip('/')}",
            f"next={path.replace('/', '%2F')}",
            f"('{path}',)",
        ):
            assert TOKEN not in without_tokens(text), text


@pytest.mark.parametrize("text", ["/c/lane/today/", "Not Found: /join/", "start with 3 plans"])
def test_all_else_is_left_as_it_is(text: str) -> None:
    assert without_tokens(text) == text


def test_a_traceback_holds_none_either() -> None:
    assert settings.LOGGING["formatters"]["line"]["()"] == "clubsite.logs.LineWithoutTokens"
    try:
        raise LookupError(f"/join/{TOKEN}/")
    except LookupError:
        record = logging.LogRecord(
            "site", logging.ERROR, "", 0, "at %s", (f"/start/{TOKEN}",), sys.exc_info()
        )
    line = LineWithoutTokens("{message}", style="{").format(record)
    assert "LookupError: /join/…/" in line
    assert TOKEN not in line


def test_what_a_program_prints_itself_is_cut_short_too(tmp_path: Path) -> None:
    log = Log(tmp_path / "web.log")
    log.write(f"somebody printed /start/{TOKEN}/")
    log.close()
    assert log.path.read_text() == "somebody printed /start/…/\n"
    assert log.recent() == ["somebody printed /start/…/"]
