"""The bell: rung by task name, never in the way, quiet for a while after a failure."""

from __future__ import annotations

import threading
from types import SimpleNamespace

import pytest
from celery import current_app
from django.db import transaction

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


def test_plans_of_one_moment_are_told_of_in_few_messages(monkeypatch) -> None:
    told: list[tuple[int, ...]] = []
    heard, go_on, last = threading.Event(), threading.Event(), threading.Event()

    def ring(*plan_ids: int) -> bool:
        told.append(plan_ids)
        heard.set()
        go_on.wait(10)
        if 40 in plan_ids:
            last.set()
        return True

    monkeypatch.setattr(dispatch, "ring", ring)
    gathering = dispatch._Gathering()
    gathering.add(1)
    # The first is told of at once, and alone.
    assert heard.wait(10)
    for plan_id in range(2, 41):
        gathering.add(plan_id)
    go_on.set()
    assert last.wait(10)
    assert told[0] == (1,)
    assert [one for message in told for one in message] == list(range(1, 41))
    assert [len(message) for message in told[1:]] == [16, 16, 7]


@pytest.mark.django_db(transaction=True)
def test_the_web_process_rings_after_the_commit_too(monkeypatch) -> None:
    told: list[int] = []
    monkeypatch.setattr(dispatch, "_gathering", SimpleNamespace(add=told.append))
    with transaction.atomic():
        dispatch.ring_after_commit(1)
        transaction.set_rollback(True)
    with transaction.atomic():
        dispatch.ring_after_commit(2)
        assert told == []
    assert told == [2]


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
