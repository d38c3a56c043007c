"""A worker that acknowledges by a channel whose broker died in between stays alive."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from kombu.transport import redis

from clubsite.celery import let_go_of_a_dead_broker

TAG = "a plan in hand"


def _holding(connection: object) -> Any:
    """What a channel of a lost connection knows of a message that it gave out."""
    channel: Any = object.__new__(redis.Channel)
    channel.connection = connection
    held: Any = redis.Channel.QoS(channel)
    held._on_collect.cancel()  # Kombu would put it back as the tests end.
    held._delivered[TAG] = object()
    return held


@pytest.mark.parametrize("connection", [None, SimpleNamespace(client=None)])
def test_what_is_in_hand_is_forgotten_and_nothing_raises(
    monkeypatch: pytest.MonkeyPatch, connection: object
) -> None:
    monkeypatch.setattr(redis.Channel, "QoS", redis.QoS)
    with pytest.raises(AttributeError):  # As kombu 5.7 has it: Celery takes that for its end.
        _holding(connection).ack(TAG)
    let_go_of_a_dead_broker()
    held = _holding(connection)
    held.ack(TAG)
    held._flush()
    assert TAG not in held._delivered
    other = _holding(connection)
    other.restore_unacked()
    assert not other._delivered
