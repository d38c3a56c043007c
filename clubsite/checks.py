"""Deployment mistakes, found by ``manage.py check --deploy``."""

import sqlite3
from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connection


@register(Tags.security, deploy=True)
def forwarded_addresses(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    """A site told that it is secure needs to know how many proxies stand before it."""
    if settings.SECURE and not settings.NUM_PROXIES:
        return [
            Warning(
                "SECURE is on but NUM_PROXIES is 0.",
                hint="Behind one proxy that overwrites X-Forwarded-For set NUM_PROXIES=1.",
                id="clubsite.W001",
            )
        ]
    return []


@register(Tags.security, deploy=True)
def demo_with_secure(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """The demo's pass phrases are printed: it must not stand on a public site."""
    if settings.DEMO and settings.SECURE:
        return [Error("DEMO is on at a public site: unset DEMO.", id="clubsite.E001")]
    return []


@register(Tags.database)
def sqlite_is_young_enough(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    """Constraints with expressions need SQLite 3.35 or later."""
    if connection.vendor != "sqlite":
        return []
    version = sqlite3.sqlite_version_info
    if version < (3, 35, 0):
        return [Error(f"SQLite {version} is too old: 3.35 is needed.", id="clubsite.E002")]
    return []
