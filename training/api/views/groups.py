"""Groups and lists of people, for coaches."""

from __future__ import annotations

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from training.api.serializers import groups as shapes
from training.api.views.base import OF_COACHES, SENDING, CoachView, refused
from training.models import Scope
from training.selectors.clubs import memberships_in
from training.selectors.group_moves import move_preview
from training.selectors.groups import GroupView, group_for, groups_overview
from training.services import groups as services
from training.services import people_lists
from training.visibility import Sealed

WRONG = refused({400: "An entry is missing or cannot be used; see errors."})
LATER = refused({409: "The state does not allow it, or somebody changed it since you looked."})


class Groups(CoachView):
    """The club's groups with who belongs to each today; and a new one."""

    @extend_schema(operation_id="groups", responses={200: shapes.Groups, **OF_COACHES})
    def get(self, request: Request, slug: str) -> Response:
        return Response(shapes.Groups(groups_overview(self.membership, timezone.now())).data)

    @extend_schema(
        operation_id="make_group",
        request=shapes.MakeGroup,
        responses={201: shapes.Group, **OF_COACHES, **SENDING, **WRONG},
    )
    def post(self, request: Request, slug: str) -> Response:
        form = shapes.MakeGroup(data=request.data)
        form.is_valid(raise_exception=True)
        made = services.make_group(by=self.membership, name=form.validated_data["name"])
        shown = shapes.Group(_view(self, made.pk)).data
        return Response(shown, status=status.HTTP_201_CREATED)


class OneGroup(CoachView):
    """Rename a group, put it away, take it up again."""

    @extend_schema(
        operation_id="change_group",
        request=shapes.ChangeGroup,
        responses={
            200: shapes.Group,
            204: None,
            **OF_COACHES,
            **SENDING,
            **WRONG,
            **LATER,
        },
    )
    def post(self, request: Request, slug: str, group_id: int) -> Response:
        """A group that never had anybody or any set goes altogether (204) when it is put away."""
        group = group_for(self.membership, group_id)
        form = shapes.ChangeGroup(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        if "name" in entered:
            services.rename_group(by=self.membership, group=group, name=entered["name"])
        if entered.get("in_use") is True:
            services.take_up(by=self.membership, group=group)
        elif entered.get("in_use") is False and services.put_away(by=self.membership, group=group):
            return Response(status=status.HTTP_204_NO_CONTENT)
        return Response(shapes.Group(_view(self, group_id)).data)


class Moving(CoachView):
    """See what changes when members belong to another group from a day on, and save it."""

    scope_to_write = Scope.PEOPLE

    @extend_schema(
        operation_id="move_members",
        request=shapes.MoveMembers,
        responses={200: shapes.Move, **OF_COACHES, **SENDING, **WRONG, **LATER},
    )
    def post(self, request: Request, slug: str) -> Response:
        form = shapes.MoveMembers(data=request.data)
        form.is_valid(raise_exception=True)
        entered, now = form.validated_data, timezone.now()
        people = memberships_in(self.membership.club, entered["members"])
        if len(people) < len(set(entered["members"])):
            raise Sealed
        number = entered["group"]
        group = None if number is None else group_for(self.membership, number)
        services.require_movable_day(entered["from_day"])
        found = move_preview(self.membership, people, group, entered["from_day"], now)
        if entered["store"]:
            services.move(
                by=self.membership,
                memberships=people,
                group=group,
                from_day=entered["from_day"],
                seen=entered.get("seen"),
                now=now,
            )
        return Response(shapes.Move(found).data)


class PastedPeople(CoachView):
    """See what a pasted list of people makes, line by line, and save all of it or nothing."""

    scope_to_write = Scope.PEOPLE

    @extend_schema(
        operation_id="paste_people",
        request=shapes.PastedList,
        responses={
            200: shapes.PeopleList,
            201: shapes.PeopleList,
            **OF_COACHES,
            **SENDING,
            **WRONG,
            **LATER,
        },
    )
    def post(self, request: Request, slug: str) -> Response:
        form = shapes.PastedList(data=request.data)
        form.is_valid(raise_exception=True)
        entered = form.validated_data
        found = people_lists.look_at_list(by=self.membership, text=entered["text"])
        if not entered["store"]:
            return Response(shapes.PeopleList(found).data)
        people_lists.save_list(by=self.membership, text=entered["text"], seen=entered.get("seen"))
        return Response(shapes.PeopleList(found).data, status=status.HTTP_201_CREATED)


def _view(view: CoachView, group_id: int) -> GroupView:
    found = groups_overview(view.membership, timezone.now())
    return next(one for one in found.groups if one.id == group_id)
