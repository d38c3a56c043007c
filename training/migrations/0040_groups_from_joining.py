"""Who is in a group belongs to it since joining, by the club's calendar.

Whoever was in several belongs to the one that they were put into last: from now on nobody is in
two at once. Nobody could be put into a group but by whoever runs the server.
"""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

from django.db import migrations


def belong_since_joining(apps, schema_editor):
    here = schema_editor.connection.alias
    membership = apps.get_model("training", "Membership")
    group_time = apps.get_model("training", "GroupTime")
    rows = membership.groups.through.objects.using(here).select_related("membership__club")
    last = {}
    for one in rows.order_by("pk"):
        last[one.membership_id] = one
    made = []
    for one in last.values():
        zone = ZoneInfo(one.membership.club.time_zone)
        day = one.membership.joined_at.astimezone(zone).date()
        begins = datetime.combine(day, time(0), zone).astimezone(UTC)
        made.append(
            group_time(membership_id=one.membership_id, group_id=one.group_id, begins_at=begins)
        )
    group_time.objects.using(here).bulk_create(made, 500)


def be_in_the_last(apps, schema_editor):
    here = schema_editor.connection.alias
    through = apps.get_model("training", "Membership").groups.through
    running = apps.get_model("training", "GroupTime").objects.using(here).filter(ends_at=None)
    through.objects.using(here).all().delete()
    through.objects.using(here).bulk_create(
        [
            through(membership_id=one.membership_id, group_id=one.group_id)
            for one in running.order_by("pk")
        ],
        500,
    )


class Migration(migrations.Migration):
    dependencies = [("training", "0039_group_times")]

    operations = [migrations.RunPython(belong_since_joining, be_in_the_last)]
