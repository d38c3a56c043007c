"""Programs are kept running, ended in order, and never outlive their supervisor."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from clubsite.deploy import janitor as janitor_program
from clubsite.deploy.processes import Janitor, Log, Process
from clubsite.deploy.programs import Program
from clubsite.deploy.supervisor import HOPELESS, GaveUp, Supervisor

STUBBORN = "import signal, time; signal.signal(signal.SIGTERM, signal.SIG_IGN); "
SLEEP = "import time; print('awake', flush=True); time.sleep(60)"


def python(code: str) -> tuple[str, ...]:
    return (sys.executable, "-S", "-c", code)


def until(condition: Callable[[], bool], what: str, seconds: float = 20.0) -> None:
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline, what
        time.sleep(0.01)


@pytest.fixture
def janitor() -> Iterator[Janitor]:
    made = Janitor()
    yield made
    made.dismiss()


class Scene:
    """A supervisor and what it said."""

    def __init__(self, folder: Path, janitor: Janitor) -> None:
        self.folder = folder
        self.said: list[str] = []
        self.supervisor = Supervisor(
            dict(os.environ),
            janitor=janitor,
            make_log=lambda name: Log(folder / f"{name}.log"),
            say=self.said.append,
        )

    def look_until(self, condition: Callable[[], bool], what: str) -> None:
        def looked() -> bool:
            self.supervisor.look_after()
            return condition()

        until(looked, what)


@pytest.fixture
def scene(tmp_path: Path, janitor: Janitor) -> Iterator[Scene]:
    made = Scene(tmp_path, janitor)
    yield made
    made.supervisor.stop()
    made.supervisor.stop()
    made.supervisor.end_all()


def test_a_program_that_dies_is_started_again_and_it_is_said(scene: Scene) -> None:
    scene.supervisor.start(Program("worker", python(SLEEP), 1, 5.0))
    first = scene.supervisor.pid("worker")
    assert first is not None
    os.kill(first, signal.SIGKILL)
    scene.look_until(lambda: scene.supervisor.pid("worker") not in (None, first), "a new worker")
    assert scene.said[0].startswith("The worker ended (signal 9). It starts again in 0.5 s.")


def test_a_program_that_never_runs_ends_the_start_with_its_last_words(scene: Scene) -> None:
    code = "import sys; print('no such table'); sys.exit(3)"
    scene.supervisor.start(Program("web", python(code), 1, 5.0))
    with pytest.raises(GaveUp) as caught:
        scene.look_until(lambda: False, "giving up")
    assert "The web process does not start (status 3)" in str(caught.value)
    assert "  no such table" in str(caught.value)
    assert len(scene.said) == HOPELESS - 1


def test_a_program_that_cannot_be_launched_ends_nobody_else(
    scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    scene.supervisor.start(Program("web", python(SLEEP), 3, 5.0))
    scene.supervisor.start(Program("worker", python(SLEEP), 1, 5.0))
    web, worker = scene.supervisor.pid("web"), scene.supervisor.pid("worker")
    assert worker is not None
    with monkeypatch.context() as no_memory:

        def refuse(*args: object, **options: object) -> None:
            raise OSError(errno.ENOMEM, "Cannot allocate memory")

        no_memory.setattr(subprocess, "Popen", refuse)
        os.kill(worker, signal.SIGKILL)
        scene.look_until(lambda: len(scene.said) == 2, "it could not be launched")
    assert scene.said[1] == (
        "The worker cannot be launched: Cannot allocate memory. It starts again in 2 s. "
        f"Its words are in {scene.folder / 'worker.log'}."
    )
    scene.look_until(lambda: scene.supervisor.pid("worker") is not None, "a new worker")
    assert scene.supervisor.pid("web") == web


def test_a_program_that_is_not_there_ends_the_start_with_a_sentence(scene: Scene) -> None:
    scene.supervisor.start(Program("broker", ("/no/such/program",), 0, 5.0))
    with pytest.raises(GaveUp) as caught:
        scene.look_until(lambda: False, "giving up")
    assert "The broker does not start (cannot be launched: No such file" in str(caught.value)


def test_a_supervisor_that_ends_in_the_middle_of_a_start_leaves_nothing(janitor: Janitor) -> None:
    """A preparation runs when Ctrl-C comes, and nobody else knows it."""
    lines: list[str] = []
    process = Process(
        "warmup", python(SLEEP), environ=os.environ, rank=4, sink=lines.append, janitor=janitor
    )
    until(lambda: lines == ["awake"], "it runs")
    janitor.dismiss()
    assert not janitor_program.process_lives(process.pid)
    process.stop(0.0)


def test_a_frozen_program_is_ended_and_started_again(scene: Scene) -> None:
    scene.supervisor.start(Program("broker", python(SLEEP), 0, 0.2))
    first = scene.supervisor.pid("broker")
    assert first is not None
    os.kill(first, signal.SIGSTOP)
    scene.supervisor.start_again("broker", "does not answer")
    assert not janitor_program.process_lives(first)
    scene.look_until(lambda: scene.supervisor.pid("broker") is not None, "a new broker")
    assert scene.said == ["The broker does not answer. It is started again."]


def test_programs_end_from_the_highest_rank_to_the_lowest(scene: Scene, tmp_path: Path) -> None:
    diary = tmp_path / "diary"
    code = (
        "import signal, sys, time\n"
        "def end(*_):\n"
        f"    open({str(diary)!r}, 'a').write(sys.argv[1] + ' ')\n"
        "    sys.exit(0)\n"
        "signal.signal(signal.SIGTERM, end)\n"
        "print('awake', flush=True)\n"
        "time.sleep(60)\n"
    )
    for name, rank in (("broker", 0), ("web", 3), ("worker", 1), ("clock", 2)):
        scene.supervisor.start(Program(name, (*python(code), name), rank, 5.0))
    logs = [tmp_path / f"{name}.log" for name in ("broker", "web", "worker", "clock")]
    until(lambda: all("awake" in log.read_text() for log in logs), "all programs run")
    scene.supervisor.end_all()
    assert diary.read_text().split() == ["web", "clock", "worker", "broker"]


def test_a_process_that_ignores_the_wish_to_end_is_made_to(janitor: Janitor) -> None:
    lines: list[str] = []
    process = Process(
        "stubborn",
        python(STUBBORN + SLEEP),
        environ=os.environ,
        rank=0,
        sink=lines.append,
        janitor=janitor,
    )
    until(lambda: lines == ["awake"], "it runs")
    assert process.stop(0.1) is False
    assert not janitor_program.process_lives(process.pid)


def test_processes_below_a_process_go_with_it(janitor: Janitor) -> None:
    code = (
        "import subprocess, sys\n"
        "below = subprocess.Popen([sys.executable, '-S', '-c', 'import time; time.sleep(60)'])\n"
        "print(below.pid, flush=True)\n"
    )
    lines: list[str] = []
    process = Process(
        "parent", python(code), environ=os.environ, rank=0, sink=lines.append, janitor=janitor
    )
    until(lambda: process.status() is not None, "the one above ends")
    until(lambda: not janitor_program.process_lives(int(lines[0])), "the one below ends")


def test_a_janitor_ends_what_its_supervisor_left_behind() -> None:
    """The supervisor is a process of its own, which is killed; its groups have to go."""
    code = (
        "import os, sys, time\n"
        "from clubsite.deploy.processes import Janitor, Process\n"
        "janitor = Janitor()\n"
        f"for code in ({STUBBORN + SLEEP!r}, {SLEEP!r}):\n"
        "    process = Process('one', [sys.executable, '-S', '-c', code], environ=os.environ,\n"
        "        rank=0, sink=lambda line: None, janitor=janitor)\n"
        "    print(process.pid, flush=True)\n"
        "time.sleep(60)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    ) as supervisor:
        assert supervisor.stdout is not None
        pids = [int(supervisor.stdout.readline()) for _ in range(2)]
        supervisor.kill()
    for pid in pids:
        until(lambda pid=pid: not janitor_program.process_lives(pid), "no orphan")


def test_a_janitor_that_is_dismissed_ends_nothing() -> None:
    process = subprocess.Popen(python(SLEEP), start_new_session=True)
    try:
        janitor_program.watch([f"+ {process.pid} 0", "end"])
        assert janitor_program.process_lives(process.pid)
        janitor_program.watch([f"+ {process.pid} 0", f"- {process.pid}"])
        assert janitor_program.process_lives(process.pid)
        janitor_program.watch([f"+ {process.pid} 0"], patience=5.0)
        assert process.wait(timeout=10) == -signal.SIGTERM
    finally:
        process.kill()
        process.wait()


def test_the_dead_that_nobody_collected_do_not_count_as_alive() -> None:
    process = subprocess.Popen(python("pass"), start_new_session=True)
    try:
        until(lambda: not janitor_program.process_lives(process.pid), "it is dead")
        assert not janitor_program.group_lives(process.pid)
    finally:
        process.wait()


def test_a_log_is_set_aside_when_it_is_large(tmp_path: Path) -> None:
    log = Log(tmp_path / "web.log", most=100)
    for number in range(30):
        log.write(f"line {number}")
    log.close()
    assert (tmp_path / "web.log").stat().st_size <= 110
    assert (tmp_path / "web.1.log").exists()
    assert log.recent(2) == ["line 28", "line 29"]
