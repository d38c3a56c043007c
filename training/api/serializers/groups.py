"""Groups, who is moved to which, and pasted lists of people."""

from __future__ import annotations

from rest_framework import serializers

from training.api.fields import Day, Entries, OneOf, Text, Texts, WholeNumber, YesOrNo
from training.api.serializers.sets import SetHead
from training.api.serializers.shape import Shape
from training.selectors import group_moves, groups, people_lists

HIGHEST = 2**63 - 1


class GroupSpell(Shape):
    """A time over which somebody belongs to a group; `until` is the last day, or null."""

    class Meta:
        dataclass = groups.Spell
        ref_name = "GroupTime"


class GroupMember(Shape):
    """Somebody who can be moved, with the group of today and those noted for later."""

    group = GroupSpell(allow_null=True)

    class Meta:
        dataclass = groups.GroupMember
        inner = (GroupSpell,)


class Group(Shape):
    """A group with who belongs to it today. `own_sets`: how many sets it ever had to itself."""

    class Meta:
        dataclass = groups.GroupView
        ref_name = "Group"
        inner = (GroupMember,)


class Groups(Shape):
    """A club's groups, and who belongs to none today."""

    class Meta:
        dataclass = groups.Groups
        inner = (Group, GroupMember)


class MakeGroup(Entries):
    """A new group."""

    name = Text(max_length=40)


class ChangeGroup(Entries):
    """Another name for a group, or whether it is in use."""

    name = Text(max_length=40, required=False)
    in_use = YesOrNo(required=False, help_text="false puts it away, true takes it up again.")


class MoveMembers(Entries):
    """Who belongs to which group from a day on."""

    members = Texts(
        child=WholeNumber(min_value=1, max_value=HIGHEST),
        min_length=1,
        max_length=500,
        help_text="Their ids, as in `groups`.",
    )
    group = WholeNumber(
        min_value=1,
        max_value=HIGHEST,
        allow_null=True,
        help_text="The id of the group; null: they belong to none.",
    )
    from_day = Day(help_text="A day of the club's calendar: past, today, or to come.")
    store = YesOrNo(
        default=False, help_text="Without it, or false, you only see what would change."
    )
    seen = Text(
        max_length=64,
        required=False,
        help_text="The `state` that you saw: if somebody was moved since, nothing is done.",
    )


class MovedMember(Shape):
    """Somebody who is moved; `before` is the group on that day, empty for none."""

    class Meta:
        dataclass = group_moves.MovedMember


class ChangedSet(Shape):
    """A set of groups that becomes, or ceases to be, somebody's to plan."""

    class Meta:
        dataclass = group_moves.ChangedSet
        inner = (SetHead,)


class Move(Shape):
    """What a move changes, or has changed."""

    class Meta:
        dataclass = group_moves.MovePreview
        ref_name = "Move"
        inner = (MovedMember, ChangedSet)


class PastedList(Entries):
    """A list of people, a line for each."""

    text = Text(
        max_length=20_000,
        trim_whitespace=False,
        help_text="Name, group, under 18 (yes or no), who agreed for a child and how: parted by "
        "tabs, semicolons or commas.",
    )
    store = YesOrNo(default=False, help_text="Without it, or false, you only see what it makes.")
    seen = Text(max_length=64, required=False, help_text="The `state` that you saw.")


class ListLine(Shape):
    """A line of the list. `trouble` says why it cannot be saved; empty where it can."""

    waits = serializers.BooleanField(help_text="For a guardian's consent.")

    class Meta:
        dataclass = people_lists.ListLine


class PeopleList(Shape):
    """What a list makes, or has made, line by line."""

    may_be_saved = serializers.BooleanField()

    class Meta:
        dataclass = people_lists.ListPreview
        ref_name = "PeopleList"
        inner = (ListLine,)


class GroupTableAsked(Entries):
    """Whose table it is."""

    group = WholeNumber(
        min_value=1,
        max_value=HIGHEST,
        required=False,
        help_text="The id of a group: its own table. Without it: everybody's.",
    )
    sets = OneOf(
        choices=("everybodys", "own"),
        default="everybodys",
        help_text="With `group`: of the sets for everybody, or of those for the group.",
    )
