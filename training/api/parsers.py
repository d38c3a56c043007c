"""How what programs send is read: JSON, within bounds, refused with the place and the way out."""

from __future__ import annotations

import json
from typing import IO, Any, NoReturn

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.utils.translation import gettext as _
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser


class Json(JSONParser):
    """As the framework's, and everything that cannot be read is a problem in words.

    Raises ParseError for what is no JSON, RequestDataTooBig for more than the
    site takes of any form.
    """

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Any = None,
    ) -> Any:
        sent = stream.read(settings.DATA_UPLOAD_MAX_MEMORY_SIZE + 1)
        if len(sent) > settings.DATA_UPLOAD_MAX_MEMORY_SIZE:
            raise RequestDataTooBig
        try:
            return json.loads(sent.decode(), parse_constant=_no_number)
        except UnicodeDecodeError as error:
            raise ParseError(
                _(
                    "This is not text in UTF-8: byte {place} cannot be read. Send JSON in UTF-8."
                ).format(place=error.start + 1)
            ) from None
        except json.JSONDecodeError as error:
            raise ParseError(
                _(
                    "This is not JSON: it cannot be read from line {line}, character {column} on. "
                    "Look there for a missing quote, comma or bracket."
                ).format(line=error.lineno, column=error.colno)
            ) from None
        except ValueError:
            # A number of thousands of digits, or a word such as NaN that JSON does not have.
            raise ParseError(
                _(
                    "A number in this JSON cannot be read: it has too many digits, or is a word "
                    "such as NaN. Leave it out: nothing here takes one."
                )
            ) from None
        except RecursionError:
            raise ParseError(
                _(
                    "This JSON is nested too deeply to be read. Send one object with its entries, "
                    "and nothing inside of them."
                )
            ) from None


def _no_number(word: str) -> NoReturn:
    raise ValueError(word)
