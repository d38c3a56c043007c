"""A set kept open longer stays in its day and week: when it was to close is kept beside."""

from datetime import datetime

from django.db import migrations, models
from django.db.models.functions import Coalesce


def find_in_entries(apps, schema_editor):
    here = schema_editor.connection.alias
    entries = apps.get_model("training", "Correction").objects.using(here)
    sets = apps.get_model("training", "ScrambleSet").objects.using(here)
    of_kind = entries.filter(kind="kept_open", undoes__isnull=True)
    for one in of_kind.filter(in_force=True):
        first = of_kind.filter(scramble_set=one.scramble_set_id).order_by("pk")[0]
        due = datetime.fromisoformat(first.before["closes_at"])
        sets.filter(pk=one.scramble_set_id).update(kept_open_from=due)


class Migration(migrations.Migration):
    dependencies = [("training", "0032_weeks_keep_their_rule")]

    operations = [
        migrations.AddField(
            "scrambleset", "kept_open_from", models.DateTimeField(blank=True, null=True)
        ),
        migrations.RunPython(find_in_entries, migrations.RunPython.noop),
        migrations.AddField(
            "scrambleset",
            "due_at",
            models.GeneratedField(
                expression=Coalesce("kept_open_from", "closes_at"),
                output_field=models.DateTimeField(),
                db_persist=True,
            ),
        ),
        migrations.AddIndex(
            "scrambleset", models.Index(fields=["club", "due_at"], name="set_club_due")
        ),
    ]
