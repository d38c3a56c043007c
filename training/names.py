"""What somebody may be called, so that names can be told apart. Pure.

By Unicode's security mechanisms (UTS 39, of Unicode 17): allowed characters alone, the
restriction level *Highly Restrictive* (one script, or Latin beside Japanese, Chinese or
Korean), look-alikes compared by their skeletons. Joiners where RFC 5892 (A.1, A.2) allows
them, nothing else that cannot be seen. The tables in ``unicode/`` are made by
``tests/reference/icu_names.py``.
"""

from __future__ import annotations

import enum
import re
import unicodedata
from bisect import bisect_right
from functools import cache, lru_cache
from itertools import groupby, pairwise
from pathlib import Path

import idna

_TABLES = Path(__file__).with_name("unicode")
_JOINERS = {"\u200c", "\u200d"}
_ALL = {"Zyyy", "Zinh"}
# UTS 39, section 5.1: what a script stands for beside itself.
_WITH = {
    "Hani": ("Hanb", "Jpan", "Kore"),
    "Hira": ("Jpan",),
    "Kana": ("Jpan",),
    "Hang": ("Kore",),
    "Bopo": ("Hanb",),
}
_BESIDE_LATIN = {"Jpan", "Hanb", "Kore"}
MOST_MARKS = 4
"""So many marks may stand above or below one letter (UTS 39, section 5.4)."""


class Fault(enum.Enum):
    """Why a name is none."""

    EMPTY = enum.auto()
    UNSEEN = enum.auto()
    NOT_ALLOWED = enum.auto()
    MARKS = enum.auto()
    SCRIPTS = enum.auto()
    DIGITS = enum.auto()


def tidy(name: str) -> str:
    """A name in the one form in which it is kept: NFKC, single blanks, none around.

    >>> tidy(" Ｍａｒａ   B ")
    'Mara B'
    """
    return " ".join(unicodedata.normalize("NFKC", name).split())


def fault_of(name: str) -> tuple[Fault, str] | None:
    """What is wrong with a tidy name, with the character if it is one; None for a good name.

    >>> fault_of("Mara B"), fault_of("Mаra"), fault_of("Mara (1)")
    (None, (<Fault.SCRIPTS: 5>, ''), (<Fault.NOT_ALLOWED: 3>, '('))
    """
    if not any(unicodedata.category(one)[0] in "LN" for one in name):
        return Fault.EMPTY, ""
    for place, one in enumerate(name):
        if one == " " or (one in _JOINERS and _may_join(name, place)):
            continue
        if _is_ignorable(one) or unicodedata.category(one) in {"Cc", "Cf", "Zl", "Zp"}:
            return Fault.UNSEEN, ""
        # What this Python's tables do not know cannot be brought into one form.
        if _scripts_of(one) is None or unicodedata.category(one) == "Cn":
            return Fault.NOT_ALLOWED, one
    if _marks_pile_up(name):
        return Fault.MARKS, ""
    if not is_highly_restrictive(name):
        return Fault.SCRIPTS, ""
    zeros = {ord(one) - unicodedata.decimal(one) for one in name if one.isdecimal()}
    return (Fault.DIGITS, "") if len(zeros) > 1 else None


def is_highly_restrictive(name: str) -> bool:
    """UTS 39, section 5.2: one script, or Latin with one of Japanese, Chinese and Korean.

    Only of scripts; that all characters are allowed is asked elsewhere.
    """
    sets = [found for one in name if one not in _JOINERS and (found := _augmented(one))]
    if not sets or frozenset.intersection(*sets):
        return True
    others = [one for one in sets if "Latn" not in one]
    return bool(frozenset.intersection(*others) & _BESIDE_LATIN)


def skeleton(text: str) -> str:
    """UTS 39, section 4: two texts that look alike have the same skeleton.

    >>> skeleton("раураl") == skeleton("paypal")
    True
    """
    prototypes = _prototypes()
    parts = [prototypes.get(ord(one), one) for one in unicodedata.normalize("NFD", text)]
    return unicodedata.normalize("NFD", "".join(parts))


@lru_cache(maxsize=20_000)
def likeness(name: str) -> str:
    """What two names have in common that people take for one: skeleton, whatever the case.

    >>> likeness("MARA") == likeness("mara"), likeness("Ines") == likeness("lnes")
    (True, True)
    """
    return skeleton(skeleton(tidy(name)).casefold())


def are_alike(one: str, other: str) -> bool:
    """Whether two names can be taken for each other.

    >>> are_alike("ÅSE", "åse"), are_alike("Ines", "lnes"), are_alike("Lia", "Ila")
    (True, True, False)
    """
    same_letters = tidy(one).casefold() == tidy(other).casefold()
    return same_letters or likeness(one) == likeness(other)


def looks(name: str) -> frozenset[str]:
    """What a name looks like: two are alike, as :func:`are_alike`, if they share one of these.

    >>> bool(looks("Ines") & looks("lnes")), bool(looks("Lia") & looks("Ila"))
    (True, False)
    """
    return frozenset({tidy(name).casefold(), likeness(name)})


def words_of(name: str) -> list[str]:
    """The words of a name: what stands between blanks and signs."""
    return [word for word in re.split(r"[\W_]+", name) if word]


def _may_join(name: str, place: int) -> bool:
    try:
        return idna.valid_contextj(name, place)
    except ValueError:
        return False


def _is_ignorable(one: str) -> bool:
    return _prototypes().get(ord(one)) == ""


def _marks_pile_up(name: str) -> bool:
    """Whether a word begins with a mark, or one letter has too many or the same twice in a row."""
    if any(unicodedata.category(word[0])[0] == "M" for word in name.split()):
        return True
    marks = (unicodedata.category(one) == "Mn" for one in unicodedata.normalize("NFD", name))
    if any(is_mark and len(list(run)) > MOST_MARKS for is_mark, run in groupby(marks)):
        return True
    decomposed = unicodedata.normalize("NFD", name)
    return any(a == b and unicodedata.category(a) == "Mn" for a, b in pairwise(decomposed))


def _augmented(one: str) -> frozenset[str] | None:
    """The scripts that a character may be of, with what they stand for; None for any."""
    scripts = _scripts_of(one) or frozenset()
    if not scripts or scripts & _ALL:
        return None
    return scripts | {more for script in scripts for more in _WITH.get(script, ())}


def _scripts_of(one: str) -> frozenset[str] | None:
    """The script extensions of an allowed character; None for any other."""
    firsts, runs = _allowed()
    at = bisect_right(firsts, ord(one)) - 1
    if at < 0:
        return None
    last, scripts = runs[at]
    return scripts if ord(one) <= last else None


def _ends(run: str) -> tuple[int, int]:
    first, _, last = run.partition("-")
    return int(first, 16), int(last or first, 16)


@cache
def _allowed() -> tuple[list[int], list[tuple[int, frozenset[str]]]]:
    firsts, runs = [], []
    for line in (_TABLES / "allowed.txt").read_text(encoding="ascii").splitlines():
        run, *scripts = line.split()
        first, last = _ends(run)
        firsts.append(first)
        runs.append((last, frozenset(scripts)))
    return firsts, runs


@cache
def _prototypes() -> dict[int, str]:
    found: dict[int, str] = {}
    for line in (_TABLES / "skeletons.txt").read_text(encoding="ascii").splitlines():
        skeleton_of, _, runs = line.partition(":")
        prototype = "".join(chr(int(one, 16)) for one in skeleton_of.split())
        for run in runs.split():
            first, last = _ends(run)
            found |= dict.fromkeys(range(first, last + 1), prototype)
    return found
