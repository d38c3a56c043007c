"""What was typed to get in stands nowhere in the database, nor in a copy of it.

Common practice, no source; that a copied database opens no door is our own rule.
"""

from __future__ import annotations

import importlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from axes.models import AccessAttempt, AccessLog
from django.apps import apps
from django.db import connection
from django.test import Client, RequestFactory
from rest_framework.test import APIClient

from clubsite.deploy import backups
from tests.conftest import make_membership
from training.models import Membership, OwnerLink
from training.services import accounts, people
from training.services.failures import counted_name
from training.services.phrases import plain_code

WRONG = "eight paper lanterns"
IN_THE_NAMES_FIELD = "nine copper kettles"
FRESH = "quiet green kettles"
WEAK = "runa runa runa"
NEW = "eleven slow snails"
OWNERS = "twelve red ladders"


def cells() -> Iterator[tuple[str, str]]:
    """Every cell of every table as text, with the names of its table and column."""
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            names = [one[0] for one in cursor.description]
            for row in cursor.fetchall():
                for name, value in zip(names, row, strict=True):
                    yield f"{table}.{name}", str(value)


@pytest.fixture
def typed(coach: Membership, member: Membership) -> list[str]:
    """A day at the door: all that was typed, or stood in an address, in the order of its doing."""
    invite = people.make_invite(by=coach)[1]
    start = people.make_owner_link(base_url="").rstrip("/").rpartition("/")[2]
    code = accounts.make_sign_in_code(by=coach, membership=member)
    spare = accounts.make_sign_in_code(by=coach, membership=make_membership(coach.club, "Solveig"))
    door = Client()
    for _ in range(2):
        door.post(f"/sign-in/?phrase={WRONG}", {"sign_in_name": "ines", "phrase": WRONG})
    door.post("/sign-in/", {"sign_in_name": IN_THE_NAMES_FIELD, "phrase": "x"})
    door.post("/code/", {"sign_in_name": "ines", "code": spare})
    door.post("/code/", {"sign_in_name": "ines", "code": code})
    door.post("/phrase/", {"phrase": NEW})
    body = {"sign_in_name": "ines", "phrase": WRONG}
    assert APIClient().post("/api/v1/tokens/", body, format="json").status_code == 401
    answer = APIClient().post("/api/v1/tokens/", body | {"phrase": NEW}, format="json")
    token = answer.json()["token"]
    joiner = {
        "step": "account",
        "done": ["name", "age"],
        "display_name": "Runa",
        "age": "over",
        "sign_in_name": "runa",
    }
    assert Client().post(f"/join/{invite}/", joiner | {"phrase": WEAK}).status_code == 400
    assert Client().post(f"/join/{invite}/", joiner | {"phrase": FRESH}).status_code == 302
    founder = {
        "club_name": "Harbour Lane",
        "time_zone": "Europe/Oslo",
        "display_name": "Mara",
        "sign_in_name": "mara",
        "phrase": OWNERS,
    }
    assert Client().post(f"/start/{start}/", founder).status_code == 302
    assert OwnerLink.objects.get().used_at is not None
    phrases = [WRONG, IN_THE_NAMES_FIELD, NEW, WEAK, FRESH, OWNERS]
    return [*phrases, invite, start, token, code, plain_code(code), spare, plain_code(spare)]


def test_no_phrase_code_or_token_stands_in_any_cell(typed: list[str]) -> None:
    assert AccessAttempt.objects.count() > 0
    assert AccessLog.objects.count() > 0
    found = [(at, secret) for at, text in cells() for secret in typed if secret in text]
    assert found == []


@pytest.mark.django_db(transaction=True)
def test_nor_in_any_byte_of_a_copy(typed: list[str], tmp_path: Path) -> None:
    # As an older version kept it, and as a row that was deleted leaves it in the file.
    AccessAttempt.objects.update(post_data=f"phrase={typed[0]}", path_info=f"/join/{typed[6]}/")
    AccessLog.objects.update(path_info=f"/join/{typed[6]}/")
    assert any(typed[0] in text for _, text in cells())
    copy = tmp_path / "copy.sqlite3"
    backups.write_copy(Path(connection.settings_dict["NAME"]), copy)
    found = [secret for secret in typed if secret.encode() in copy.read_bytes()]
    assert found == []
    with closing(sqlite3.connect(copy)) as file:
        assert file.execute("SELECT count(*) FROM axes_accesslog").fetchone()[0] > 0
        assert file.execute("SELECT count(*) FROM axes_accessattempt").fetchone()[0] == 0


@pytest.mark.django_db(transaction=True)
def test_what_older_versions_kept_is_forgotten_by_the_migration() -> None:
    # Written as it was before: past what now keeps the columns empty.
    AccessAttempt.objects.bulk_create(
        [AccessAttempt(username="ines", post_data=f"phrase={WRONG}", failures_since_start=1)]
    )
    AccessLog.objects.bulk_create([AccessLog(username="ines", path_info=f"/join/{WRONG}/")])
    assert any(WRONG in text for _, text in cells())
    forget = importlib.import_module("training.migrations.0009_nothing_typed").forget
    with connection.schema_editor(atomic=False) as editor:
        forget(apps, editor)
    assert not any(WRONG in text for _, text in cells())


def test_failures_of_one_name_in_any_case_are_one(member: Membership) -> None:
    request = RequestFactory().post("/sign-in/")
    names = {counted_name(request, {"username": one}) for one in ("ines", " INES ", "Ines")}
    assert len(names) == 1
    assert "ines" not in names.pop().casefold()
