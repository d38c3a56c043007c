"""The bell: rung by task name, never in the way, quiet for a while after a failure."""

from __future__ import annotations

import threading

from celery import current_app

from training import dispatch
from training.dispatch import _Bell


def test_the_message_is_a_name_and_an_id_and_runs_out(monkeypatch) -> None:
    sent: list[tuple[object, ...]] = []
    monkeypatch.setattr(
        "celery.app.base.Celery.send_task",
        lambda app, name, args, **options: sent.append((name, args, options["expires"])),
    )
    assert dispatch.ring(17)
    assert sent == [("solverworker.check_plan", [17], dispatch.EXPIRES_SECONDS)]


def test_after_a_failure_the_broker_is_left_alone_for_a_while(monkeypatch, caplog) -> None:
    tries: list[int] = []

    def broken(*args: object, **options: object) -> None:
        tries.append(1)
        raise TimeoutError

    now = [100.0]
    monkeypatch.setattr("celery.app.base.Celery.send_task", broken)
    monkeypatch.setattr(dispatch, "bell", _Bell(clock=lambda: now[0]))
    assert not dispatch.ring(1)
    assert not dispatch.ring(2)
    assert len(tries) == 1
    assert "waits for the sweep" in caplog.text
    now[0] += dispatch.QUIET_SECONDS
    assert not dispatch.ring(3)
    assert len(tries) == 2


def test_every_thread_of_the_web_server_reaches_the_same_queue() -> None:
    # A Celery app is current in the thread that made it only, unless it is made the default.
    names: list[str] = []
    thread = threading.Thread(target=lambda: names.append(current_app.main))
    thread.start()
    thread.join()
    assert names == ["within-eight"]


def test_publishing_is_bounded() -> None:
    options = current_app.conf.broker_transport_options
    assert options["socket_timeout"] == options["socket_connect_timeout"] == 0.5
    assert options["max_retries"] == 0
    assert current_app.conf.task_publish_retry is False
    assert current_app.conf.task_reject_on_worker_lost is False
