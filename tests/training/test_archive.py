"""Everything that a club owns in one archive: whole, without secrets, readable by others.

RFC 4180 (CSV) and RFC 8259 (JSON) by the standard library's readers, zip by its own.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from tests.conftest import NOON, Given, make_membership
from training.models import Club, Deed, Drawn, Membership, Plan, Role, ScrambleSet
from training.refusals import NotAllowed
from training.selectors.archive import LEFT_OUT, archive_tables
from training.selectors.tables import all_time_table
from training.services import corrections, people
from training.services.afterwards import plan_afterwards
from training.services.archiving import club_archive, export_club
from training.services.tokens import make_token
from training.sheets import BOM, COMMAS

DAY = timedelta(days=1)
BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")


def unzipped(pieces: Iterator[bytes]) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(b"".join(pieces))) as found:
        assert found.testzip() is None
        return {name: found.read(name).decode() for name in found.namelist()}


def closed(given: Given, days: int, **fields: Any) -> ScrambleSet:
    opens = NOON - timedelta(hours=13) - days * DAY
    return given.a_set(opens=opens, closes=opens + DAY, **fields)


@pytest.fixture
def lived_in(
    club: Club, owner: Membership, coach: Membership, member: Membership, given: Given
) -> list[Membership]:
    """Three days of plans of four members, one of whom came on the last day; corrections."""
    late = make_membership(club, "=Late", joined_at=NOON - 2 * DAY)
    everybody = [member, make_membership(club, "Bo"), make_membership(club, "Cy"), late]
    for days, one in ((days, closed(given, days)) for days in (3, 2, 1)):
        for place, who in enumerate(everybody):
            for number in range(1, 6 - place):
                moves = (BEST[number - 1], "U U' " + BEST[number - 1], "U", None)[
                    (number + place + days) % 4
                ]
                given.a_plan(who, one, number, moves, at=one.opens_at)
    first = ScrambleSet.objects.order_by("opens_at").first()
    corrections.void_scramble(scramble=given.scramble(first, 2), by=owner, reason="x", now=NOON)
    corrections.withdraw_plan(plan=Plan.objects.first(), by=coach, reason="y", now=NOON)
    return everybody


def test_the_all_time_table_comes_out_of_it(
    club: Club, owner: Membership, lived_in: list[Membership]
) -> None:
    """From the files alone, by product's rule: 8 for what is not solved, means over sets inside."""
    files = unzipped(club_archive(club, now=NOON))
    rows = {
        name.removesuffix(".json"): json.loads(text)
        for name, text in files.items()
        if name.endswith(".json")
    }
    verdict = {one["plan"]: one for one in rows["verdicts"]}
    counts = {
        (one["scramble"], one["membership"]): min(verdict[one["id"]]["excess"], 8)
        for one in rows["plans"]
        if one["status"] == "checked" and verdict[one["id"]]["solved"]
    }
    sets = [one for one in rows["sets"] if one["drawn"] == "as_drawn" and not one["taken_out"]]
    scrambles = defaultdict(list)
    for one in rows["scrambles"]:
        if not one["void"]:
            scrambles[one["scramble_set"]].append(one["id"])
    means = {}
    for who in rows["people"]:
        points = []
        for one in sets:
            inside = any(
                period["begins_at"] <= one["opens_at"]
                and (period["ends_at"] is None or one["opens_at"] < period["ends_at"])
                for period in rows["counting_periods"]
                if period["membership"] == who["id"]
            )
            if inside:
                of_set = scrambles[one["id"]]
                points.append(sum(counts.get((each, who["id"]), 8) for each in of_set))
        if points:
            means[who["display_name"]] = Fraction(sum(points), len(points))
    table = all_time_table(owner, NOON)
    assert {row.member: row.mean for row in table.rows} == means
    assert len(means) == 4
    assert len(set(means.values())) > 1


def test_csv_and_json_say_the_same(club: Club, lived_in: list[Membership]) -> None:
    files = unzipped(club_archive(club, now=NOON))
    for name in (one.removesuffix(".csv") for one in files if one.endswith(".csv")):
        text = files[f"{name}.csv"]
        assert text.startswith(BOM)
        read = list(csv.DictReader(io.StringIO(text.removeprefix(BOM), newline="")))
        told = json.loads(files[f"{name}.json"])
        assert len(read) == len(told), name
        for line, one in zip(read, told, strict=True):
            assert set(line) <= set(one)
            for column, cell in line.items():
                plain = one[column]
                if isinstance(plain, str):
                    assert cell in (plain, f"'{plain}"), (name, column)
                elif plain is None:
                    assert cell == ""
                else:
                    assert json.loads(cell) == plain, (name, column)
    people_csv = files["people.csv"]
    assert "'=Late" in people_csv
    assert {table.name for table in archive_tables(club, NOON)} == {
        one.partition(".")[0] for one in files if one != "README.txt"
    }
    assert all(
        f"{one.name}: {one.about}" in files["README.txt"] for one in archive_tables(club, NOON)
    )


def test_it_may_be_had_with_semicolons_and_decimal_commas(
    club: Club, lived_in: list[Membership]
) -> None:
    files = unzipped(club_archive(club, style=COMMAS, now=NOON))
    assert files["groups.csv"] == f"{BOM}id;name;archived_at\r\n"
    assert files["verdicts.csv"].startswith(f"{BOM}plan;solved;colour;moves;best;")


def test_nothing_that_is_sealed_is_in_it(
    club: Club, owner: Membership, member: Membership, other_club: Club, given: Given
) -> None:
    old = closed(given, 1, scrambles=("R D",), spare="B2 F2 B2", seed="a seed of seeds")
    today = given.a_set(scrambles=("D R",), spare="L2 R2 L2")
    given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY, scrambles=("U2 D2 U2 D2",))
    given.a_set(club=other_club, scrambles=("L B L B",))
    given.a_set(kind="practice", drawn=Drawn.PICKED, for_member=member, scrambles=("B D B D",))
    given.a_plan(member, old, 1, "D' R'", at=old.opens_at)
    given.a_plan(member, today, 1, "D2 D R'", at=NOON)
    given.a_plan(member, plan_afterwards(membership=member, scramble_set=old, now=NOON), 1, "F U2")
    everything = "".join(unzipped(club_archive(club, now=NOON)).values())
    for sealed in ("B2 F2 B2", "L2 R2 L2", "U2 D2 U2 D2", "L B L B", "B D B D", "D2 D R'", "F U2"):
        assert sealed not in everything, sealed
    for open_to_all in ("R D", "D R", "D' R'"):
        assert open_to_all in everything, open_to_all
    assert "a seed of seeds" not in everything
    later = "".join(unzipped(club_archive(club, now=today.closes_at)).values())
    assert "D2 D R'" in later


def test_no_secret_is_in_it(club: Club, owner: Membership, member: Membership) -> None:
    _token, secret = make_token(person=member.person)
    _invite, link = people.make_invite(by=owner)
    hashes = [member.person.password, str(_token.digest), _invite.token_hash]
    everything = "".join(unzipped(club_archive(club)).values())
    assert member.person.sign_in_name in everything
    for one in (secret, link, *hashes):
        assert one not in everything


def test_every_column_is_in_it_or_left_out_on_purpose(club: Club) -> None:
    """A new column of these tables fails here until somebody has thought of it."""
    for table in archive_tables(club, NOON):
        model = table.rows.model
        there = {one.attname for one in model._meta.concrete_fields}
        told = {*table.columns, *table.in_json_alone, *LEFT_OUT.get(model, ())}
        assert there - told == set(), f"{table.name}: not yet decided"
        assert not {*table.columns, *table.in_json_alone} & set(LEFT_OUT.get(model, ()))


class TestWhoMay:
    def test_owners_alone_and_the_log_notes_it(
        self, club: Club, owner: Membership, coach: Membership, member: Membership
    ) -> None:
        for who in (coach, member, make_membership(club, "Old", Role.OWNER, standing="archived")):
            with pytest.raises(NotAllowed):
                export_club(by=who, now=NOON)
        assert not Deed.objects.exists()
        assert "club.json" in unzipped(export_club(by=owner, now=NOON))
        assert Deed.objects.get().what == "club_exported"


def test_it_is_written_in_pieces(club: Club, owner: Membership, given: Given) -> None:
    """More than a piece is never held: what is packed is handed on meanwhile."""
    sets = [closed(given, days, scrambles=("R D",) * 20) for days in range(1, 3)]
    members = [make_membership(club, f"M{n}") for n in range(5)]
    Plan.objects.bulk_create(
        Plan(
            scramble=one,
            membership=who,
            key=f"{who.pk:08x}-0000-4000-8000-{one.pk:012x}",
            written="".join(f"{hash((who.pk, one.pk, n)):x}" for n in range(200)),
        )
        for who in members
        for each in sets
        for one in each.scrambles.all()
    )
    pieces = list(club_archive(club, now=NOON))
    assert len(pieces) > 3
    assert max(len(one) for one in pieces) < 256 * 1024
    assert len(json.loads(unzipped(iter(pieces))["plans.json"])) == 200


class TestTheCommand:
    def test_writes_it_for_nobody_else_to_read(self, club: Club, tmp_path: Any) -> None:
        target = tmp_path / "club.zip"
        call_command("export", str(target), "--commas", stdout=io.StringIO())
        with zipfile.ZipFile(target) as found:
            assert "people.csv" in found.namelist()
        assert target.stat().st_mode & 0o777 == 0o600
        assert [one.name for one in tmp_path.iterdir()] == ["club.zip"]

    def test_refuses_in_a_sentence(self, club: Club, other_club: Club, tmp_path: Any) -> None:
        with pytest.raises(CommandError, match="far-shore, lantern-street"):
            call_command("export", str(tmp_path / "a.zip"))
        there = tmp_path / "there.zip"
        there.write_text("x")
        with pytest.raises(CommandError, match="is there already"):
            call_command("export", str(there), "--club", club.slug)
        assert there.read_text() == "x"
        with pytest.raises(CommandError, match="cannot be written"):
            call_command("export", str(tmp_path / "no" / "a.zip"), "--club", club.slug)


def test_times_in_it_are_in_utc(club: Club, lived_in: list[Membership]) -> None:
    for one in json.loads(unzipped(club_archive(club, now=NOON))["sets.json"]):
        assert datetime.fromisoformat(one["opens_at"]).utcoffset() == timedelta(0)
