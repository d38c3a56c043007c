from collections import Counter
from typing import Any

from django.apps.registry import Apps
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def number_them(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Number what a club gave the same people on one day, in the order in which it was issued."""
    sets = apps.get_model("training", "ScrambleSet")
    groups = apps.get_model("training", "GroupOfSet")
    alias = schema_editor.connection.alias
    whose: dict[int, frozenset[int]] = {}
    for of_set, group in groups.objects.using(alias).values_list("scramble_set_id", "group_id"):
        whose[of_set] = whose.get(of_set, frozenset()) | {group}
    found = sets.objects.using(alias).exclude(kind__in=["practice", "afterwards"])
    rows = found.order_by("issued_at", "pk").values_list(
        "pk", "club_id", "kind", "day", "for_member_id"
    )
    before: Counter[Any] = Counter()
    for pk, *same in rows:
        key = (*same, whose.get(pk, frozenset()))
        before[key] += 1
        if before[key] > 1:
            sets.objects.using(alias).filter(pk=pk).update(nth=before[key])


class Migration(migrations.Migration):
    """Which set of its kind and day each one is for the same people; the way back forgets it."""

    dependencies = [("training", "0052_back_without_excuses")]

    operations = [
        migrations.AddField(
            model_name="scrambleset",
            name="nth",
            field=models.PositiveSmallIntegerField(default=1),
        ),
        migrations.RunPython(number_them, migrations.RunPython.noop),
    ]
