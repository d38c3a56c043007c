"""The memberships of today get the period over which they count.

From when the account was opened, for a child from the consent, until it was archived, which is
not known: until the set of the last plan closes, marked so; for a former member until the end
of that week, as it was. What lies partly outside enters no total from now on.
"""

from django.db import migrations
from django.db.models import Exists, Max, OuterRef, Q


def begin_and_end(apps, schema_editor):
    here = schema_editor.connection.alias
    membership = apps.get_model("training", "Membership")
    period = apps.get_model("training", "CountingPeriod")
    plans = apps.get_model("training", "Plan").objects.using(here).filter(
        scramble__scramble_set__for_member__isnull=True
    )
    last = dict(
        plans.values_list("membership").annotate(last=Max("scramble__scramble_set__closes_at"))
    )
    made = []
    people = membership.objects.using(here).filter(competes=True).exclude(standing="waiting")
    for one in people.select_related("person"):
        begins = one.joined_at
        if one.under_18:
            if one.consent_noted_at is None:
                continue
            begins = max(begins, one.consent_noted_at)
        ends, estimated = None, False
        if one.standing == "archived":
            ends, estimated = last.get(one.pk), True
            if one.consent_withdrawn_at is not None and ends is not None:
                ends = min(ends, one.consent_withdrawn_at)
            if ends is None:
                continue
        elif one.standing == "consent":
            ends = one.consent_withdrawn_at
            if ends is None:
                continue
        elif one.standing == "former":
            ends = one.left_at
        elif one.person.last_login is None and one.pk not in last:
            continue
        if ends is None or ends > begins:
            made.append(
                period(
                    membership=one,
                    begins_at=begins,
                    ends_at=ends,
                    left_at=ends,
                    estimated=estimated,
                )
            )
    period.objects.using(here).bulk_create(made, 500)


def say_what_counts(apps, schema_editor):
    here = schema_editor.connection.alias
    period = apps.get_model("training", "CountingPeriod")
    inside = period.objects.using(here).filter(
        Q(ends_at__isnull=True) | Q(ends_at__gt=OuterRef("scramble_set__opens_at")),
        Q(left_at__isnull=True) | Q(left_at__gte=OuterRef("scramble_set__closes_at")),
        membership=OuterRef("membership"),
        begins_at__lte=OuterRef("scramble_set__opens_at"),
    )
    for name in ("SetSummary", "TechniqueCount"):
        shared = apps.get_model("training", name).objects.using(here).filter(
            scramble_set__for_member__isnull=True
        )
        shared.filter(~Exists(inside)).update(counts=False)


class Migration(migrations.Migration):
    dependencies = [("training", "0023_counting_periods")]

    operations = [
        migrations.RunPython(begin_and_end, migrations.RunPython.noop),
        migrations.RunPython(say_what_counts, migrations.RunPython.noop),
    ]
