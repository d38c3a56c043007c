"""Names, asked in a service's words: what may stand in one, and whom it could be taken for."""

from __future__ import annotations

from functools import cache

from django.conf import settings
from django.utils import translation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import names
from training.models import COACHING_ROLES, Club, Membership, Person, Role
from training.names import Fault
from training.refusals import InvalidEntry
from training.services.validating import require_storable

MOST_LETTERS = 40

_OFFICES = ("admin", "administrator", "moderator", "trainer")
"""Words for somebody in charge that are no role of ours."""

_SAID = {
    Fault.EMPTY: gettext_lazy("A name has a letter or a digit in it."),
    Fault.UNSEEN: gettext_lazy("There is an invisible character in it. Type it afresh."),
    Fault.MARKS: gettext_lazy(
        "There are marks in it that belong to no letter, or too many of them."
    ),
    Fault.SCRIPTS: gettext_lazy(
        "Letters of different alphabets are mixed in it. Use those of one: many look alike."
    ),
    Fault.DIGITS: gettext_lazy("Digits of different alphabets are mixed in it. Use those of one."),
}


def shown_name(display_name: str, field: str = "display_name") -> str:
    """A name that others see, as it is stored. Raises InvalidEntry."""
    if not display_name.strip():
        raise InvalidEntry(_("Choose the name that others see."), field=field)
    name = require_name(display_name, field)
    if len(name) > MOST_LETTERS:
        raise InvalidEntry(_("The name that others see has 40 letters at most."), field=field)
    require_no_role(name, field)
    return name


def free_sign_in_name(sign_in_name: str, *, besides: Person | None = None) -> str:
    """A sign-in name as it is stored, that nobody but ``besides`` has. Raises InvalidEntry.

    One that looks like somebody's counts as theirs: whoever copies it from a card would
    otherwise try the other's phrase.
    """
    name = names.tidy(require_storable(sign_in_name, "sign_in_name"))
    if not name or len(name) > MOST_LETTERS or " " in name:
        raise InvalidEntry(
            _("A sign-in name has 1 to 40 letters, digits or signs, and no spaces."),
            field="sign_in_name",
        )
    require_name(name, "sign_in_name")
    if _is_taken(name, besides):
        raise InvalidEntry(
            _("This sign-in name is taken. Add a few letters or choose another."),
            field="sign_in_name",
        )
    return name


def taken_in_club(name: str) -> InvalidEntry:
    """The refusal of a name that somebody of the club has."""
    return InvalidEntry(
        _(
            "Somebody in this club is already called {name}. Add a letter or choose another name."
        ).format(name=name),
        field="display_name",
    )


def require_name(text: str, field: str) -> str:
    """A name in the form in which it is kept. Raises InvalidEntry with what is wrong with it."""
    name = names.tidy(require_storable(text, field))
    found = names.fault_of(name)
    if found is not None:
        fault, character = found
        said = _SAID.get(fault) or _(
            "“{character}” cannot stand in a name. Use letters, digits, and - . ' between them."
        ).format(character=character)
        raise InvalidEntry(str(said), field=field)
    return name


def require_no_role(name: str, field: str) -> None:
    """Raise InvalidEntry for a name that tells others of a role: the site says who coaches."""
    for word in names.words_of(name):
        if names.likeness(word) in _role_words():
            raise InvalidEntry(
                _("Leave out “{word}”: the site itself says who is a coach.").format(word=word),
                field=field,
            )


@cache
def _role_words() -> frozenset[str]:
    """The coaching roles in every language of the site, and in the code's, by their likeness."""
    said = {*_OFFICES, *(str(role) for role in COACHING_ROLES)}
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            said |= {str(Role(role).label) for role in COACHING_ROLES}
    return frozenset(names.likeness(word) for label in said for word in names.words_of(label))


def require_apart(name: str, club: Club, *, besides: Membership | None = None) -> None:
    """Raise InvalidEntry for a name that could be taken for somebody's of the club.

    Call it in the transaction that stores the name: the club's row is locked, so that of
    two who come at once with names that look alike one is told.
    """
    Club.objects.select_for_update().only("pk").get(pk=club.pk)
    others = Membership.objects.filter(club=club).not_former()
    if besides is not None:
        others = others.exclude(pk=besides.pk)
    for other in others.values_list("display_name", flat=True):
        if names.tidy(other).casefold() == name.casefold():
            raise taken_in_club(name)
        if names.are_alike(name, other):
            raise InvalidEntry(
                _(
                    "This looks like the name of somebody in this club. Add a letter or choose "
                    "another name."
                ),
                field="display_name",
            )


def _is_taken(name: str, besides: Person | None) -> bool:
    others = Person.objects.exclude(pk=besides.pk) if besides else Person.objects.all()
    return any(
        names.are_alike(name, other)
        for other in others.values_list("sign_in_name", flat=True).iterator()
    )
