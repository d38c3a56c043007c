"""The reader's tongue, handed to the words of the solver, which know no framework."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext

from solverworker.words import Tongue

TONGUE = Tongue(gettext, ngettext)
