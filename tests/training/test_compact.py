"""Reports kept small: nothing is lost by it, and what was kept once can be read for good."""

from __future__ import annotations

import hashlib
import json
import zlib
from pathlib import Path

import pytest
from django.core import serializers
from django.db import connection
from hypothesis import given as examples
from hypothesis import strategies as st

from solverworker.report import PlanReport
from solverworker.review import check_plan
from training.models import Verdict, compact
from training.models.compact import pack, unpack

values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@examples(values.filter(lambda value: "Infinity" not in json.dumps(value)))
def test_what_is_kept_comes_back_as_json_would_have_it(value) -> None:
    assert unpack(pack(value)) == json.loads(json.dumps(value))


def test_the_form_is_deflate_of_rfc_1951_beside_the_words() -> None:
    # A reader of its own, by the words of the format: byte, then raw deflate with a dictionary.
    words = Path(compact.__file__).with_name("compact_1.txt").read_bytes()
    kept = pack({"solved": True})
    assert kept[0] == 1
    assert zlib.decompressobj(-15, words).decompress(kept[1:]) == b'{"solved":true}'


def test_the_words_of_a_format_are_never_changed() -> None:
    words = Path(compact.__file__).with_name("compact_1.txt").read_bytes()
    # A club's rows are read by these: newer words are a new file with the next number.
    digest = hashlib.sha256(words).hexdigest()
    assert digest == "8ba0213ee94312a92c4f08014ac7886266f2ee15651e9d2962faf7bfb77a4c39"


@pytest.mark.parametrize("kept", [b"", b"\x01", b"\x02rest", b"\x01\xff\xff\xff", b'{"a": 1}'])
def test_what_was_not_kept_so_is_refused(kept: bytes) -> None:
    with pytest.raises(ValueError, match=r"."):
        unpack(kept)


@pytest.mark.parametrize("value", [float("nan"), {1, 2}])
def test_what_json_does_not_have_is_not_kept(value: object) -> None:
    with pytest.raises((TypeError, ValueError)):
        pack(value)


def test_a_report_takes_a_fifth_of_its_text_at_most() -> None:
    report = check_plan("R U F2 D' L B2 U' R2 F L2", "x2 R U R' F", colours=["white"]).to_dict()
    text = json.dumps(report, separators=(",", ":"))
    assert len(pack(report)) < len(text) / 5
    assert PlanReport.from_dict(unpack(pack(report))).to_dict() == report


@pytest.mark.django_db
def test_a_row_has_the_report_itself_and_the_database_the_bytes(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D D2 R'")
    verdict = Verdict.objects.get(plan=plan)
    with connection.cursor() as cursor:
        cursor.execute("SELECT report FROM training_verdict WHERE id = %s", [verdict.pk])
        stored = bytes(cursor.fetchone()[0])
    assert unpack(stored) == verdict.report
    of = verdict.report["techniques"]
    assert verdict.techniques == {name: of[name] for name in ("called", "answered", "blame")}
    again = next(serializers.deserialize("json", serializers.serialize("json", [verdict])))
    assert again.object.report == verdict.report
