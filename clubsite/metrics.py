"""Figures for a monitoring system, in Prometheus' own form, for whoever holds the token.

All figures are read when they are asked for, from the database and the broker, which all
processes share: a counter within each process would be right in none of them.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterator
from datetime import timedelta

from django.conf import settings
from django.core.exceptions import BadRequest
from django.db import DatabaseError
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe
from prometheus_client import CollectorRegistry, Metric
from prometheus_client.core import (
    CounterMetricFamily,
    GaugeMetricFamily,
)
from prometheus_client.exposition import choose_encoder

from clubsite import faults, surroundings
from clubsite.health import free_bytes
from training.selectors import health

RECENT = timedelta(hours=1)
QUANTILES = (0.5, 0.9, 0.99)


@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """The figures; 404 as long as no token is set, 401 for any other token."""
    wanted = settings.METRICS_TOKEN
    if not wanted:
        raise Http404
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    # As bytes, and over their whole length: how long it takes tells nothing of the token.
    if not hmac.compare_digest(given.encode(), wanted.encode()):
        return HttpResponse(
            "The token is missing or wrong.\n",
            status=401,
            content_type="text/plain; charset=utf-8",
            headers={"WWW-Authenticate": "Bearer"},
        )
    try:
        encode, content_type = choose_encoder(request.headers.get("Accept", ""))
    except ValueError:
        raise BadRequest from None
    return HttpResponse(encode(_registry()), content_type=content_type)


def _registry() -> CollectorRegistry:
    registry = CollectorRegistry(auto_describe=False)
    registry.register(_Site())
    return registry


class _Site:
    """Collects every figure anew at each scrape. A figure that cannot be had is left out."""

    def describe(self) -> list[Metric]:
        return []

    def collect(self) -> Iterator[Metric]:
        try:
            yield from _of_database()
            answers = 1
        except DatabaseError:
            answers = 0
        yield GaugeMetricFamily(
            "within_eight_database_up", "Whether the database answers.", answers
        )
        yield from _of_broker()
        yield GaugeMetricFamily(
            "within_eight_free_bytes", "Room left where the data is.", free_bytes()
        )


def _of_database() -> Iterator[Metric]:
    now = timezone.now()
    pulse = health.pulse(now)
    counted = health.plans_by_status()
    yield CounterMetricFamily(
        "within_eight_hand_ins",
        "Plans accepted since the beginning, practice included.",
        sum(counted.values()),
    )
    plans = GaugeMetricFamily("within_eight_plans", "Plans by their status.", labels=["status"])
    for status, count in counted.items():
        plans.add_metric([status], count)
    yield plans
    waited = (now - pulse.oldest_waiting).total_seconds() if pulse.oldest_waiting else 0.0
    yield GaugeMetricFamily(
        "within_eight_oldest_waiting_seconds",
        "How long the oldest plan without a verdict has waited; 0 when none waits.",
        waited,
    )
    beats = GaugeMetricFamily(
        "within_eight_heartbeat_age_seconds",
        "Since worker and clock last showed that they live.",
        labels=["part"],
    )
    for part in ("worker", "sweep"):
        if part in pulse.beats:
            beats.add_metric([part], (now - pulse.beats[part]).total_seconds())
    yield beats
    yield _verdict_times(health.verdict_seconds(now - RECENT))


def _verdict_times(seconds: list[float]) -> Metric:
    """From the hand-in to the verdict. Of the last hour, so its count goes up and down."""
    family = GaugeMetricFamily(
        "within_eight_verdict_seconds",
        "From hand-in to verdict, of plans handed in during the last hour (at most 1,000).",
        labels=["quantile"],
    )
    ordered = sorted(seconds)
    for quantile in QUANTILES:
        if ordered:
            at = min(len(ordered) - 1, int(quantile * len(ordered)))
            family.add_metric([str(quantile)], ordered[at])
    return family


def _of_broker() -> Iterator[Metric]:
    lengths = surroundings.queue_lengths()
    yield GaugeMetricFamily(
        "within_eight_broker_up", "Whether the work queue answers.", int(lengths is not None)
    )
    queued = GaugeMetricFamily(
        "within_eight_queue_messages", "Messages that wait in the work queue.", labels=["queue"]
    )
    for name, length in (lengths or {}).items():
        queued.add_metric([name], length)
    yield queued
    errors = CounterMetricFamily(
        "within_eight_errors",
        "Requests and tasks that ended in a fault of the site, since the broker began.",
        labels=["where"],
    )
    for where, count in (faults.counted() or {}).items():
        errors.add_metric([where], count)
    yield errors
