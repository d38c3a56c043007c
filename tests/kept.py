"""Rows that all tests of a file begin with, made once; each test takes back only what it does."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import transaction
from pytest_django import DjangoDbBlocker


@contextmanager
def kept_to_the_end(blocker: DjangoDbBlocker) -> Iterator[None]:
    """Around a module's fixture: what it makes is there until the file is done, then taken back.

    Needs ``django_db_setup`` before. What the tests do stands in a savepoint of each.

    Example::

        @pytest.fixture(scope="module")
        def season(django_db_setup, django_db_blocker):
            with kept_to_the_end(django_db_blocker):
                build()
                with django_db_blocker.block():
                    yield
    """
    with blocker.unblock(), transaction.atomic():
        yield
        transaction.set_rollback(True)
