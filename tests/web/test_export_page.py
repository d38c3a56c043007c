"""The owner's page that reads out everything, and CSV with semicolons elsewhere."""

from __future__ import annotations

import io
import zipfile

from tests.web.conftest import ROOT, reader_for, words
from training.models import Deed, Membership
from training.sheets import BOM


def test_an_owner_reads_it_out(owner: Membership) -> None:
    reader = reader_for(owner)
    assert "Everything the club owns, in one file" in words(reader.get(f"{ROOT}/export/"))
    assert not Deed.objects.exists()
    answer = reader.client.post(f"{ROOT}/export/", {"csv": "commas"})
    assert answer["Content-Type"] == "application/zip"
    assert "within-eight-lantern-street-2026-11-25.zip" in answer["Content-Disposition"]
    with zipfile.ZipFile(io.BytesIO(answer.getvalue())) as found:
        assert found.read("groups.csv").decode() == f"{BOM}id;name;archived_at\r\n"
    said = words(reader.get(f"{ROOT}/log/"))
    assert "Odd downloaded everything that the club owns." in said


def test_a_review_may_be_had_with_semicolons(coach: Membership) -> None:
    reader = reader_for(coach)
    assert "csv=commas" in reader.get(f"{ROOT}/coach/review/")
    sheet = reader.get(f"{ROOT}/coach/review.csv?csv=commas")
    assert sheet.startswith(f"{BOM}part;member;group;idea;")
    assert reader.get(f"{ROOT}/coach/review.csv?csv=nonsense").startswith(f"{BOM}part,member,")
