"""Who likely needs a lesson on an idea, in words."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training.web.saying.counting import count, listed


def need_words(lacking: Sequence[str], group_lacks: bool, target: float) -> str:
    """Who likely needs an idea; empty where nobody is known to.

    >>> need_words(("Ines", "Quill"), False, 0.7)
    'Ines and Quill'
    >>> need_words((), True, 0.7)
    'the whole group is learning it: below the target of 70 in 100'
    """
    if not group_lacks:
        return listed(lacking)
    return _("the whole group is learning it: below the target of {target} in 100").format(
        target=round(100 * target)
    )


def strong_words(strong: int, members: int) -> str:
    """Of how many it is known that they do not need it; empty where it is of nobody.

    >>> strong_words(5, 6), strong_words(1, 1), strong_words(0, 6)
    ('5 of 6 members are strong in it', '1 of 1 member is strong in it', '')
    """
    if not strong:
        return ""
    return ngettext(
        "{strong} of {members} is strong in it", "{strong} of {members} are strong in it", strong
    ).format(strong=strong, members=count(members, "member"))


def habit_words(members: Sequence[str]) -> str:
    """Whose account names a habit first.

    >>> habit_words(("Ines", "Quill")), habit_words(())
    ('comes first for Ines and Quill', 'comes first for nobody')
    """
    names = listed(members) if members else _("nobody")
    return _("comes first for {names}").format(names=names)
