"""Which small changes to a module do the tests notice?

    python -m tests.bench.mutants training/ranking.py [more modules] [--jobs 2] [--lines 40-80]
                                  [--seconds 60] [--tests tests/training]

One run without changes notes which tests enter which function. Then, for each mutation
(``tests/bench/mutations.py``), a process of its own loads the changed module and runs the tests
that enter the changed function until one fails; a mutant for which none fails survives. With
``--seconds`` only the quickest of them are run, so long as they take together: what survives
then may still be noticed by a slower one, and with ``--tests`` by one of another file. Those of
which ``equivalent_mutants.toml`` says why nobody could notice are counted apart.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import json
import multiprocessing
import os
import shutil
import sys
import tempfile
import time
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import accumulate
from pathlib import Path
from types import CodeType, ModuleType

from tests.bench.mutations import Mutant, mutants

ROOT = Path(__file__).resolve().parents[2]
TESTS = {
    "training": ("tests/training", "tests/web", "tests/api", "tests/access"),
    "solverworker": ("tests/solverworker",),
    "clubsite": ("tests/house",),
}
"""Where tests of a package stand that run in one process with it."""

KNOWN = Path(__file__).with_name("equivalent_mutants.toml")
READY = Path(tempfile.mkdtemp(prefix="within-eight-mutants-")) / "ready.sqlite3"
"""The tests' database with its tables, copied for each run."""

PATIENCE = 20.0
"""How many times longer than without a change the tests may take; longer counts as noticed."""

Entered = dict[str, dict[str, float]]
"""For each ``path::function``, the tests that enter it and how many seconds each takes."""


class Changed(importlib.abc.MetaPathFinder, importlib.machinery.SourceFileLoader):
    """Loads one module from a changed tree, whoever asks for it."""

    def __init__(self, path: Path, tree: ast.Module) -> None:
        super().__init__(".".join(path.with_suffix("").parts), str(ROOT / path))
        self.tree = tree

    def find_spec(
        self, name: str, path: object = None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Only for the module that is changed."""
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, self.path, loader=self)

    def get_code(self, fullname: str) -> CodeType:
        """The changed code, never a kept ``.pyc``."""
        code: CodeType = compile(self.tree, self.path, "exec")
        return code


# Which tests enter which function ------------------------------------------------


def functions(tree: ast.Module) -> list[ast.FunctionDef]:
    """All functions of a module, outer ones before those within."""
    return [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]


def function_at(tree: ast.Module, line: int) -> str:
    """The outermost function around a line, or nothing for the module's own lines."""
    for one in functions(tree):
        if one.body[0].lineno <= line <= (one.end_lineno or 0):
            return f"{one.name}:{one.lineno}"
    return ""


def _telling(path: Path) -> ast.Module:
    """A module in which each function tells when it is entered."""
    tree = ast.parse((ROOT / path).read_text("utf-8"))
    for one in functions(tree):
        call = f"__import__('builtins').entered('{path}::{one.name}:{one.lineno}')"
        one.body[:0] = ast.parse(call).body
    return ast.fix_missing_locations(tree)


class _Recorder:
    """A plugin: notes what each test enters, in its set-up too, and how long it takes."""

    def __init__(self, out: Path) -> None:
        self.out = out
        self.now: set[str] = set()
        self.found: Entered = defaultdict(dict)

    def pytest_runtest_logreport(self, report: object) -> None:
        name, seconds = report.nodeid, report.duration  # type: ignore[attr-defined]
        for place in self.now:
            self.found[place][name] = self.found[place].get(name, 0.0) + seconds
        self.now.clear()

    def pytest_sessionfinish(self) -> None:
        self.out.write_text(json.dumps(self.found))


def record(paths: Sequence[Path], folders: Sequence[str]) -> Entered:
    """Run all tests of the packages once. Raises SystemExit when one of them fails."""
    all_of = {folder for path in paths for folder in TESTS[path.parts[0]]}
    tests = sorted(folders or all_of)
    with tempfile.TemporaryDirectory() as folder:
        recorder = _Recorder(Path(folder) / "entered.json")

        def prepare() -> None:
            import builtins

            builtins.entered = recorder.now.add  # type: ignore[attr-defined]

        changes = [Changed(path, _telling(path)) for path in paths]
        there = [one for one in tests if (ROOT / one).exists()]
        if not _run(changes, there, 7200, [recorder], prepare, stop=False):
            raise SystemExit("The tests fail without any change.")
        found: Entered = json.loads(recorder.out.read_text())
    return found


# Runs -----------------------------------------------------------------------------


class _Same:
    """A plugin: the same examples at each run, none kept, and a database that is ready."""

    def __init__(self, database: Path) -> None:
        self.database = database

    def pytest_configure(self) -> None:
        import hypothesis
        from django.conf import settings

        settings.DATABASES["default"]["TEST"]["NAME"] = str(self.database)
        hypothesis.settings.register_profile("s", database=None, derandomize=True, deadline=None)
        hypothesis.settings.load_profile("s")


def _child(changes: Sequence[Changed], arguments: Sequence[str], plugins: Sequence[object]) -> None:
    """Run tests in this process, in silence; the exit status is pytest's."""
    silence = os.open(os.devnull, os.O_RDWR)
    for descriptor in (0, 1, 2):
        os.dup2(silence, descriptor)
    sys.meta_path[:0] = changes
    import pytest

    with tempfile.TemporaryDirectory() as folder:
        database = Path(folder) / "tests.sqlite3"
        if READY.exists():
            shutil.copy(READY, database)
        status = int(pytest.main(list(arguments), plugins=[_Same(database), *plugins]))
        if not READY.exists():
            shutil.copy(database, READY)
    os._exit(status)


def _run(
    changes: Sequence[Changed],
    tests: Sequence[str],
    seconds: float,
    plugins: Sequence[object] = (),
    prepare: Callable[[], None] = lambda: None,
    stop: bool = True,
) -> bool:
    """Whether all tests pass within some time, in a process forked from this one."""
    plain = ["-q", "-p", "no:randomly", "-p", "no:cacheprovider", "-p", "no:xdist", "--reuse-db"]
    arguments = [*plain, *(["-x"] if stop else []), *tests]

    def child() -> None:
        prepare()
        _child(changes, arguments, list(plugins))

    process = multiprocessing.get_context("fork").Process(target=child)
    process.start()
    process.join(seconds)
    if process.is_alive():
        print(f"no end after {seconds:.0f} s")
        process.kill()
        process.join()
    return process.exitcode == 0


def _load_beforehand() -> None:
    """What every run needs and no mutant changes: forked, not loaded anew."""
    for name in ("review", "techniques.drawing"):
        importlib.import_module(f"solverworker.{name}")
    for name in ("celery", "django.forms", "django.test", "numpy", "scipy.stats"):
        importlib.import_module(name)


@dataclass
class Tried:
    """What became of the mutants of one module."""

    path: str
    killed: int = 0
    equivalent: int = 0
    survivors: list[Mutant] = field(default_factory=list)

    @property
    def tried(self) -> int:
        return self.killed + self.equivalent + len(self.survivors)


def try_all(path: Path, entered: Entered, jobs: int, lines: range, seconds: float) -> Tried:
    """Try every mutant of a module."""
    source = (ROOT / path).read_text("utf-8")
    tree = ast.parse(source)
    known = _known(str(path))
    tried = Tried(str(path))

    def concerned(line: int) -> dict[str, float]:
        name = function_at(tree, line)
        wanted = f"{path}::{name}"
        return {
            test: seconds
            for place, tests in entered.items()
            if (place == wanted if name else place.startswith(wanted))
            for test, seconds in tests.items()
        }

    def survives(mutant: Mutant) -> bool:
        tests = concerned(mutant.line)
        if not tests:
            return True
        # Its own file first, then the quick ones.
        ordered = sorted(
            tests, key=lambda one: (path.stem not in one.partition("::")[0], tests[one])
        )
        spent = list(accumulate(tests[one] for one in ordered))
        chosen = [one for one, by in zip(ordered, spent, strict=True) if by <= seconds]
        patience = 60 + PATIENCE * min(seconds, spent[-1])
        return _run([Changed(path, mutant.tree)], chosen or ordered[:1], patience)

    todo = [one for one in mutants(source) if one.line in lines]
    unknown = [one for one in todo if one.name not in known]
    tried.equivalent = len(todo) - len(unknown)
    with ThreadPoolExecutor(jobs) as pool:
        for mutant, survived in zip(unknown, pool.map(survives, unknown), strict=True):
            if survived:
                tried.survivors.append(mutant)
                print(f"{path}:{mutant.line}: survives: {mutant.name}", flush=True)
            else:
                tried.killed += 1
            done = tried.killed + len(tried.survivors)
            print(f"{path}: {done} of {len(unknown)}", file=sys.stderr, end="\r", flush=True)
    return tried


def _known(path: str) -> set[str]:
    """The mutants of a module that are known to be equivalent."""
    if not KNOWN.exists():
        return set()
    listed = tomllib.loads(KNOWN.read_text("utf-8")).get("mutant", [])
    assert all(one["reason"] for one in listed)
    return {f"{one['was']}  →  {one['now']}" for one in listed if one["module"] == path}


def rows(results: Sequence[Tried]) -> Iterator[str]:
    """The table that is printed."""
    yield "| module | tried | killed | equivalent | survive |"
    yield "|---|---|---|---|---|"
    for one in results:
        yield (
            f"| `{one.path}` | {one.tried} | {one.killed} | {one.equivalent} "
            f"| {len(one.survivors)} |"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("modules", nargs="+", type=Path)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 2)
    parser.add_argument("--lines", default="1-99999", help="only mutants of these lines")
    parser.add_argument("--seconds", type=float, default=float("inf"), help="of tests a mutant")
    parser.add_argument("--tests", nargs="*", default=[], help="only of these files and folders")
    options = parser.parse_args()
    first, _, last = options.lines.partition("-")
    os.chdir(ROOT)
    os.environ["DJANGO_SETTINGS_MODULE"] = "clubsite.settings.test"
    _load_beforehand()
    began = time.monotonic()
    entered = record(options.modules, options.tests)
    print(f"Which tests enter what is known after {time.monotonic() - began:.0f} s.", flush=True)
    lines = range(int(first), int(last or first) + 1)
    results = [
        try_all(path, entered, options.jobs, lines, options.seconds) for path in options.modules
    ]
    print("\n".join(rows(results)))
    shutil.rmtree(READY.parent)


if __name__ == "__main__":
    main()
