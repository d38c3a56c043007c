"""The site is ready for another language, and reads dates as in Britain in the one it has."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.messages.storage.base import Message
from django.test import override_settings
from django.utils import formats, translation
from django.utils.functional import Promise

from clubsite import health

SESSIONS = "django.contrib.sessions.middleware.SessionMiddleware"
LOCALE = "django.middleware.locale.LocaleMiddleware"
COMMON = "django.middleware.common.CommonMiddleware"
MO_MAGIC = 0x950412DE


def compiled(words: dict[str, str]) -> bytes:
    """A compiled catalogue (GNU gettext manual, "The Format of GNU MO Files")."""
    pairs = sorted({"": "Content-Type: text/plain; charset=UTF-8\n", **words}.items())
    count, texts = len(pairs), b""
    tables: list[list[int]] = [[], []]
    begin = 28 + 16 * count
    for table, column in zip(tables, range(2), strict=True):
        for pair in pairs:
            raw = pair[column].encode()
            table += [len(raw), begin + len(texts)]
            texts += raw + b"\0"
    numbers = [MO_MAGIC, 0, count, 28, 28 + 8 * count, 0, 0, *tables[0], *tables[1]]
    return b"".join(number.to_bytes(4, "little") for number in numbers) + texts


def test_the_middleware_of_languages_stands_where_django_wants_it() -> None:
    """Django's manual, "How Django discovers language preference"."""
    order = settings.MIDDLEWARE
    assert order.index(SESSIONS) < order.index(LOCALE) < order.index(COMMON)


def test_a_catalogue_in_the_folder_of_languages_is_spoken(client, tmp_path: Path, monkeypatch):
    """What a second language needs is a folder and a line, and browsers get it by asking."""
    assert all(Path(folder).is_dir() for folder in settings.LOCALE_PATHS)
    folder = tmp_path / "nl" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (folder / "django.mo").write_bytes(compiled({"does not answer": "geeft geen antwoord"}))

    def fails(now: object) -> None:
        raise health.DatabaseError

    monkeypatch.setattr(health, "pulse", fails)
    two = [*settings.LANGUAGES, ("nl", "Nederlands")]
    with override_settings(LANGUAGES=two, LOCALE_PATHS=[tmp_path]):
        dutch = client.get("/health/", headers={"accept-language": "nl"})
        french = client.get("/health/", headers={"accept-language": "fr"})
    assert dutch.json()["database"] == "geeft geen antwoord"
    assert dutch["Content-Language"] == "nl"
    assert french.json()["database"] == "does not answer"
    assert french["Content-Language"] == "en"


def test_days_are_read_with_the_day_before_the_month() -> None:
    """In Britain the fifth of June is 05/06 (Unicode CLDR, en-GB, short date)."""
    with translation.override("en"):
        assert forms.DateField().clean("05/06/2026") == date(2026, 6, 5)
        assert forms.DateField().clean("2026-06-05") == date(2026, 6, 5)
        assert formats.date_format(date(2026, 6, 5), "SHORT_DATE_FORMAT") == "05/06/2026"


def test_the_description_of_the_api_can_be_translated() -> None:
    assert isinstance(settings.SPECTACULAR_SETTINGS["DESCRIPTION"], Promise)


@pytest.mark.parametrize(
    ("level", "kind"),
    [
        (messages.SUCCESS, "kept"),
        (messages.INFO, ""),
        (messages.WARNING, "mark"),
        (messages.ERROR, "loss"),
    ],
)
def test_a_message_s_level_is_the_kind_of_its_notice(level: int, kind: str) -> None:
    assert Message(level, "Noted.").level_tag == kind
    styles = [file.read_text() for file in (settings.ROOT / "training/web").rglob("*.css")]
    assert not kind or any(f".notice.is-{kind}" in style for style in styles)
