"""Makes the tables behind ``training/names.py``, and known answers for its test, from ICU.

ICU (the Unicode Consortium's own library) holds the data of Unicode's security mechanisms:
identifier status, script extensions, confusables. It is asked through its C interface, by the
folder of its shared libraries and their version::

    python -m tests.reference.icu_names /usr/lib/x86_64-linux-gnu 78

The tables that are kept were made with ICU 78.3, Unicode 17.0.
"""

from __future__ import annotations

import ctypes as c
import json
import random
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TABLES = ROOT / "training" / "unicode"
ANSWERS = ROOT / "tests" / "data" / "icu_names.json"

RESTRICTION_LEVEL, CHARACTERS, HIGHLY_RESTRICTIVE = 16, 64, 0x30000000
_HALF = range(0xD800, 0xE000)


class Icu:
    """The few functions of ICU that are asked."""

    def __init__(self, folder: str, version: str) -> None:
        found = [
            c.CDLL(str(next(Path(folder).glob(f"libicu{part}*.so*"))), mode=c.RTLD_GLOBAL)
            for part in ("data", "uc", "i18n")
        ]
        self._libraries, self._version = found[1:], version
        self._status = c.c_int(0)
        self._spoof = self._made("uspoof_open")
        # UTS 39 allows what is recommended and what is included; and every ideograph here,
        # because people are called by uncommon ones too.
        pattern = "[:Unified_Ideograph:]".encode("utf-16-le")
        status = c.byref(self._status)
        made = self._call("uset_openPattern", c.c_void_p, pattern, len(pattern) // 2, status)
        self._allowed = c.c_void_p(made)
        for name in ("uspoof_getRecommendedSet", "uspoof_getInclusionSet"):
            self._call("uset_addAll", None, self._allowed, self._made(name))
        self._nfd = self._made("unorm2_getNFDInstance")

    def _call(self, name: str, result: type | None, *arguments: object) -> object:
        for library in self._libraries:
            if hasattr(library, f"{name}_{self._version}"):
                function = getattr(library, f"{name}_{self._version}")
                function.restype = result
                answer = function(*arguments)
                assert self._status.value <= 0, (name, self._status.value)
                return answer
        raise KeyError(name)

    def _made(self, name: str) -> c.c_void_p:
        return c.c_void_p(self._call(name, c.c_void_p, c.byref(self._status)))

    def _text(self, name: str, text: str, *before: object) -> str:
        sent, room = text.encode("utf-16-le"), c.create_string_buffer(4096)
        size = self._call(
            name, c.c_int, *before, sent, len(sent) // 2, room, 2000, c.byref(self._status)
        )
        return room.raw[: 2 * size].decode("utf-16-le")

    def skeleton(self, text: str) -> str:
        return self._text("uspoof_getSkeleton", text, self._spoof, c.c_uint32(0))

    def decomposed(self, text: str) -> str:
        return self._text("unorm2_normalize", text, self._nfd)

    def is_allowed(self, point: int) -> bool:
        return bool(self._call("uset_contains", c.c_int8, self._allowed, point))

    def scripts(self, point: int) -> str:
        found = (c.c_int * 50)()
        size = self._call(
            "uscript_getScriptExtensions", c.c_int, point, found, 50, c.byref(self._status)
        )
        return " ".join(
            sorted(
                self._call("uscript_getShortName", c.c_char_p, one).decode() for one in found[:size]
            )
        )

    def is_highly_restrictive(self, text: str) -> bool:
        """Whether ICU lets a text pass at that level, of allowed characters alone."""
        status, spoof = c.byref(self._status), self._made("uspoof_open")
        self._call("uspoof_setChecks", None, spoof, RESTRICTION_LEVEL | CHARACTERS, status)
        self._call("uspoof_setRestrictionLevel", None, spoof, HIGHLY_RESTRICTIVE)
        self._call("uspoof_setAllowedChars", None, spoof, self._allowed, status)
        sent = text.encode("utf-16-le")
        failed = self._call("uspoof_check", c.c_int, spoof, sent, len(sent) // 2, None, status)
        self._call("uspoof_close", None, spoof)
        return not failed


def allowed_table(icu: Icu) -> str:
    """A line for each run of allowed characters with the same scripts."""
    runs: list[list[object]] = []
    for point in (one for one in range(0x110000) if one not in _HALF and icu.is_allowed(one)):
        scripts = icu.scripts(point)
        if runs and runs[-1][1] == point - 1 and runs[-1][2] == scripts:
            runs[-1][1] = point
        else:
            runs.append([point, point, scripts])
    return "".join(
        f"{first:X}{f'-{last:X}' if last > first else ''} {scripts}\n"
        for first, last, scripts in runs
    )


def skeleton_table(icu: Icu) -> str:
    """A line for each skeleton: its characters, then all that look so. Ignorables come first."""
    groups: dict[str, list[int]] = {}
    for point in (one for one in range(0x110000) if one not in _HALF):
        character = chr(point)
        skeleton = icu.skeleton(character)
        if icu.decomposed(character) == character != skeleton:
            groups.setdefault(skeleton, []).append(point)
    return "".join(
        f"{' '.join(f'{ord(one):X}' for one in skeleton)}: {_runs(points)}\n"
        for skeleton, points in sorted(groups.items())
    )


def _runs(points: list[int]) -> str:
    runs: list[list[int]] = []
    for point in points:
        if runs and runs[-1][1] == point - 1:
            runs[-1][1] = point
        else:
            runs.append([point, point])
    return " ".join(f"{a:X}" if a == b else f"{a:X}-{b:X}" for a, b in runs)


def answers(icu: Icu) -> list[dict[str, object]]:
    """Texts of one to three scripts by a seeded draw, each with what ICU says of it."""
    draw = random.Random(39)
    by_script: dict[str, list[int]] = {}
    for line in (TABLES / "allowed.txt").read_text(encoding="ascii").splitlines():
        run, _, scripts = line.partition(" ")
        first, _, last = run.partition("-")
        for script in scripts.split():
            by_script.setdefault(script, []).extend(
                range(int(first, 16), int(last or first, 16) + 1)
            )
    usual = ["Latn", "Cyrl", "Grek", "Hani", "Hira", "Kana", "Hang", "Arab", "Hebr", "Zyyy"]
    texts = set()
    for _ in range(600):
        scripts = draw.sample(
            usual if draw.random() < 0.8 else sorted(by_script), draw.randint(1, 3)
        )
        letters = [
            chr(draw.choice(by_script[draw.choice(scripts)])) for _ in range(draw.randint(1, 6))
        ]
        texts.add("".join(letters))
    return [
        {
            "text": text,
            "highly_restrictive": icu.is_highly_restrictive(text),
            "skeleton": icu.skeleton(text),
        }
        for text in sorted(texts)
    ]


def main(folder: str, version: str) -> None:
    icu = Icu(folder, version)
    (TABLES / "allowed.txt").write_text(allowed_table(icu), encoding="ascii")
    (TABLES / "skeletons.txt").write_text(skeleton_table(icu), encoding="ascii")
    ANSWERS.write_text(json.dumps(answers(icu), indent=1) + "\n", encoding="ascii")


if __name__ == "__main__":
    main(*sys.argv[1:])
