"""JSON lines in, JSON lines out: what the solver's commands have in common.

Every input line gets exactly one output line, in order, even when it cannot
be read; a reader at the other end of a pipe gets each answer at once.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from solverworker.cube.colours import UnknownColourError
from solverworker.cube.notation import NotationError
from solverworker.report import COLOURS
from solverworker.review import PairTableMissing
from solverworker.search.pair import PairTable, table

UNREADABLE_STATUS = 2
"""Exit status when a scramble or a plan cannot be read."""

Answer = Callable[[Mapping[str, Any]], dict[str, Any]]


@dataclass(frozen=True)
class LineError(ValueError):
    """A line that is no request: not JSON, not an object, or without its texts."""

    message: str
    token: str = ""
    position: int = 0


class SolverCommand(BaseCommand):
    """A command that answers from the solver alone: no database, no checks."""

    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--colour",
            action="append",
            choices=COLOURS,
            dest="colours",
            help="a cross colour; may be given several times",
        )
        parser.add_argument("--json", action="store_true", help="answer in JSON")
        parser.add_argument(
            "--batch",
            action="store_true",
            help="read JSON lines from standard input, write JSON lines",
        )

    def one(self, answer: Answer, request: Mapping[str, Any], *, as_json: bool) -> dict[str, Any]:
        """Answer one request; ends the command with status 2 when it cannot be read."""
        try:
            return answer(request)
        except NotationError as error:
            if as_json:
                self.stdout.write(json.dumps(unreadable(error)))
                sys.exit(UNREADABLE_STATUS)
            message = f"The {error.where} cannot be read. {error.message}"
            raise CommandError(message, returncode=UNREADABLE_STATUS) from error

    def batch(self, answer: Answer, options: Mapping[str, Any], *texts: str) -> None:
        """Answer every line of standard input. ``texts``: arguments that have no place there."""
        if any(options[name] is not None for name in texts):
            raise CommandError("With --batch every line brings its own: leave out the arguments.")
        lines: Iterable[bytes | str] = getattr(sys.stdin, "buffer", sys.stdin)
        try:
            for line in lines:
                self.stdout.write(json.dumps(answer_line(answer, line)))
                self.stdout.flush()
        except BrokenPipeError:
            # Nobody reads on; leave nothing for the interpreter to flush at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def make_pair_table(command: BaseCommand) -> PairTable:
    """Return the table of cross and first pair; shows progress when it is made first."""

    def told(done: int, of: int) -> None:
        end = "\n" if done == of else "\r"
        command.stderr.write(f"Cross and first pair: {100 * done // of:3} % made.", ending=end)
        command.stderr.flush()

    return table(told)


def answer_line(answer: Answer, line: bytes | str) -> dict[str, Any]:
    """Answer one line; a bad one gets an error, never an exception."""
    try:
        return answer(read_line(line))
    except (NotationError, UnknownColourError, LineError) as error:
        return unreadable(error)
    except PairTableMissing:
        table()
        return answer_line(answer, line)


def read_line(line: bytes | str) -> Mapping[str, Any]:
    """Read one line as a JSON object. Raises LineError."""
    try:
        text = line if isinstance(line, str) else line.decode()
        # A file saved on Windows may begin with a byte order mark and ends its lines in two.
        request = json.loads(text.removeprefix("\ufeff").rstrip("\r\n"))
    except json.JSONDecodeError as error:
        token = error.doc[error.pos : error.pos + 1]
        raise LineError(
            f"This line is not JSON: {error.msg} at character {error.pos + 1}.", token, error.pos
        ) from error
    except (ValueError, RecursionError) as error:
        raise LineError("This line is not JSON. Write one object a line, in UTF-8.") from error
    if not isinstance(request, dict):
        raise LineError('This line is not a JSON object. Write {"scramble": "R U", …}.')
    return request


def text_of(request: Mapping[str, Any], key: str) -> str:
    """Return a text that a request must have. Raises LineError."""
    value = request.get(key)
    if not isinstance(value, str):
        raise LineError(f'"{key}" is missing or is not text. Write it between quotes.')
    return value


def colours_of(request: Mapping[str, Any], default: list[str] | None) -> list[str] | None:
    """Return the colours that a request allows, or the default. Raises LineError."""
    value = request.get("colours")
    if value is None:
        return default
    if not isinstance(value, list) or not value or not all(isinstance(v, str) for v in value):
        raise LineError(
            '"colours" is not a list of colours. '
            'Write ["white", "yellow"], or leave it out for any colour.'
        )
    return value


def unreadable(error: NotationError | UnknownColourError | LineError) -> dict[str, Any]:
    """Return the answer to something that cannot be read."""
    where: str
    kind: str
    if isinstance(error, NotationError):
        where, kind, token = error.where, error.kind, error.token
        position, message = error.position, error.message
    elif isinstance(error, UnknownColourError):
        where, kind, token, position = "colours", "unknown", error.colour[:24], 0
        message = str(error)
    else:
        where, kind, token = "line", "not_json", error.token
        position, message = error.position, error.message
    return {
        "readable": False,
        "error": {
            "in": where,
            "kind": kind,
            "token": token,
            "position": position,
            "message": message,
        },
    }
