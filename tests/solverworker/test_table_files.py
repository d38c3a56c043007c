"""Files of tables: kept whole, checked, made again when damaged, made once by many."""

import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from solverworker import tablefile
from solverworker.tablefile import TableFileError, load_or_make, path_of, read, write

ROOT = Path(__file__).parents[2]
TABLE = {
    "numbers": np.arange(3000, dtype=np.uint16).reshape(30, 100),
    "bytes": np.arange(7, dtype=np.uint8),
}


@pytest.fixture(autouse=True)
def _own_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path / "kept"))


class Maker:
    """Makes the table, and counts how often."""

    def __init__(self):
        self.calls = 0

    def __call__(self):
        self.calls += 1
        return {name: array.copy() for name, array in TABLE.items()}


def check(table):
    assert list(table) == list(TABLE)
    for name, array in TABLE.items():
        assert np.array_equal(table[name], array)
        assert table[name].dtype == array.dtype
        with pytest.raises(ValueError, match="read-only"):
            table[name][0] = 0


def test_a_table_is_made_once_and_then_read():
    make = Maker()
    check(load_or_make("small", "1", make))
    check(load_or_make("small", "1", make))
    assert make.calls == 1
    assert [path.suffix for path in path_of("small", "1").parent.iterdir()].count(".table") == 1


def test_another_version_is_another_file():
    make = Maker()
    load_or_make("small", "1", make)
    load_or_make("small", "2", make)
    assert make.calls == 2


def _flip(path):
    data = bytearray(path.read_bytes())
    data[5000] ^= 1
    path.write_bytes(data)


def _cut(path):
    path.write_bytes(path.read_bytes()[:-1])


def _empty(path):
    path.write_bytes(b"")


def _noise(path):
    path.write_bytes(b"\xff" * 9000)


def _other(path):
    write("other", "1", TABLE)
    path_of("other", "1").replace(path)


@pytest.mark.parametrize("damage", [_flip, _cut, _empty, _noise, _other])
def test_a_damaged_file_is_made_again_with_a_warning(damage, caplog):
    make = Maker()
    load_or_make("small", "1", make)
    damage(path_of("small", "1"))
    with pytest.raises(TableFileError, match="cannot be used"):
        read("small", "1")
    check(load_or_make("small", "1", make))
    assert make.calls == 2
    assert "It is made again" in caplog.text
    check(read("small", "1"))


def test_a_missing_file_is_made_again_without_a_word(caplog):
    make = Maker()
    load_or_make("small", "1", make)
    path_of("small", "1").unlink()
    check(load_or_make("small", "1", make))
    assert make.calls == 2
    assert caplog.text == ""


def test_where_nothing_can_be_written_the_table_is_kept_in_memory(monkeypatch, tmp_path, caplog):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path / "file" / "folder"))
    check(load_or_make("small", "1", Maker()))
    assert "cannot be kept" in caplog.text


def test_a_reader_keeps_what_it_has_mapped_while_a_new_file_takes_its_place():
    before = load_or_make("small", "1", Maker())
    write("small", "1", {"numbers": np.zeros(5000, dtype=np.uint16)})
    check(before)
    assert not read("small", "1")["numbers"].any()


def test_a_failed_write_leaves_nothing_behind(monkeypatch):
    def full(descriptor):
        raise OSError("no space left on device")

    monkeypatch.setattr(tablefile.os, "fsync", full)
    check(load_or_make("small", "1", Maker()))
    left = [path.name for path in path_of("small", "1").parent.iterdir()]
    assert left == ["small-1.lock"]


def test_files_of_old_versions_go_when_nobody_has_read_them_for_long():
    for version in ("1", "2"):
        load_or_make("small", version, Maker())
    old = time.time() - (tablefile.KEPT_UNUSED_DAYS + 1) * 86_400
    os.utime(path_of("small", "1"), (old, old))
    load_or_make("small", "3", Maker())
    names = {path.name for path in path_of("small", "1").parent.glob("*.table")}
    assert names == {"small-2.table", "small-3.table"}


def test_a_file_just_made_stays_whatever_the_clock_says(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(time, "time", lambda: 4e9)
    load_or_make("small", "1", Maker())
    assert path_of("small", "1").exists()


ONE_OF_MANY = """
import sys, time
import numpy as np
from solverworker.tablefile import load_or_make
def make():
    print("made")
    time.sleep(0.3)
    return {"numbers": np.arange(200_000)}
while time.time() < float(sys.argv[1]):
    pass
table = load_or_make("shared", "1", make)
print(int(table["numbers"].sum()))
"""


def test_processes_that_start_at_once_make_one_file_and_all_read_it():
    start = str(time.time() + 1.0)
    running = [
        subprocess.Popen(
            [sys.executable, "-c", ONE_OF_MANY, start], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        for _ in range(4)
    ]
    said = [process.communicate(timeout=60)[0].split() for process in running]
    assert sum(words.count("made") for words in said) == 1
    assert {words[-1] for words in said} == {str(sum(range(200_000)))}
