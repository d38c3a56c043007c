"""What a parent or guardian agrees to, word for word, by the number that a consent notes.

A text that somebody has agreed to is never changed: a new one gets the next number, and the old
one stays, so that a coach can always show which was agreed to.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

TEXTS: dict[int, StrOrPromise] = {
    1: _(
        "The child may belong to this club on this site. The site keeps the name that others in "
        "the club see, a sign-in name, a mark “under 18”, and the plans that the child hands in "
        "with what they were worth. Members of the club see the name and the results in the "
        "tables; the child and the coaches see plans and progress. There is no e-mail address, "
        "no birthday, no picture and no advertising, and nothing is public. The child or the "
        "guardian can ask a coach at any time for everything that is kept, for a correction, to "
        "have it erased, or to take this agreement back."
    ),
}
"""By number; gettext's own words, so that they are said in the reader's tongue."""

CURRENT = max(TEXTS)
"""The text that a consent noted now is about."""
