"""Tables for a spreadsheet: RFC 4180 by the standard library's reader, no formulas."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.sheets import BOM, COMMAS, guarded, write_csv

# OWASP, "CSV Injection": = + - @, tab and carriage return begin a formula (from memory).
FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\u00a0=1", "＝1+1")


@pytest.mark.parametrize("text", FORMULAS)
def test_text_that_a_spreadsheet_would_run_is_kept_from_it(text: str) -> None:
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("value", [-1, -0.5, 0, 3, "R' U2", "", None, "Noor = best"])
def test_numbers_stay_numbers_and_plain_text_is_left_alone(value: object) -> None:
    assert guarded(value) == value


def test_lines_end_as_rfc_4180_says_and_quotes_are_doubled() -> None:
    # RFC 4180, section 2, rules 1, 6 and 7.
    text = write_csv(("name", "lost"), [('Ines, "the quick"', -1), ("two\r\nlines", 0.5)])
    assert text == f'{BOM}name,lost\r\n"Ines, ""the quick""",-1\r\n"two\r\nlines",0.5\r\n'


def test_every_line_has_as_many_fields_as_the_head() -> None:
    # RFC 4180, section 2, rule 4.
    with pytest.raises(ValueError, match="1 fields under a head of 2"):
        write_csv(("name", "lost"), [("Ines",)])


@given(
    st.lists(
        st.tuples(
            st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")),
            st.integers(),
        )
    )
)
def test_another_reader_reads_what_was_written(rows: list[tuple[str, int]]) -> None:
    text = write_csv(("name", "lost"), rows).removeprefix(BOM)
    read = list(csv.reader(io.StringIO(text, newline="")))
    assert read == [["name", "lost"], *([guarded(name), str(lost)] for name, lost in rows)]
    assert not any(cell.lstrip(" \u00a0").startswith(tuple("=+-@\t\r")) for cell, _ in read)


def test_with_semicolons_a_fraction_has_a_comma_and_text_is_left() -> None:
    # Common practice of spreadsheets where the comma is the decimal sign; no source.
    text = write_csv(("name", "mean"), [("a;b 1.5", 0.25), ("=1", -2), (None, 1.0)], COMMAS)
    assert text == f'{BOM}name;mean\r\n"a;b 1.5";0,25\r\n\'=1;-2\r\n;1,0\r\n'
