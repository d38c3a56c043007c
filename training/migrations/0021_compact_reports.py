"""Reports kept compactly; what is asked of many plans at once stands in a column of its own."""

from django.db import migrations, models

import training.models.compact

BATCH = 500
ASKED = ("called", "answered", "blame")


def pack(apps, schema_editor):
    """Write each report once more, by batches of rows."""
    for name in ("Verdict", "Recheck"):
        rows_of = apps.get_model("training", name).objects.using(schema_editor.connection.alias)
        fields = ["kept", "techniques"] if name == "Verdict" else ["kept"]
        done = 0
        while rows := list(rows_of.filter(pk__gt=done).order_by("pk")[:BATCH]):
            for row in rows:
                row.kept = row.report
                if name == "Verdict":
                    told = row.report.get("techniques")
                    row.techniques = told and {name: told[name] for name in ASKED}
            rows_of.bulk_update(rows, fields)
            done = rows[-1].pk


def unpack(apps, schema_editor):
    """Back to JSON as it was."""
    for name in ("Verdict", "Recheck"):
        rows_of = apps.get_model("training", name).objects.using(schema_editor.connection.alias)
        done = 0
        while rows := list(rows_of.filter(pk__gt=done).order_by("pk")[:BATCH]):
            for row in rows:
                row.report = row.kept
            rows_of.bulk_update(rows, ["report"])
            done = rows[-1].pk


class Migration(migrations.Migration):
    dependencies = [("training", "0020_practice_by_answers")]

    operations = [
        # May be empty for as long as it is gone, so that there is a way back.
        migrations.AlterField("verdict", "report", models.JSONField(null=True)),
        migrations.RemoveConstraint("recheck", "rechecked_or_in_trouble"),
        migrations.AddField("verdict", "techniques", models.JSONField(null=True)),
        migrations.AddField(
            "verdict", "kept", training.models.compact.CompactJson(null=True)
        ),
        migrations.AddField(
            "recheck", "kept", training.models.compact.CompactJson(null=True)
        ),
        migrations.RunPython(pack, unpack),
        migrations.RemoveField("verdict", "report"),
        migrations.RemoveField("recheck", "report"),
        migrations.RenameField("verdict", "kept", "report"),
        migrations.RenameField("recheck", "kept", "report"),
        migrations.AlterField("verdict", "report", training.models.compact.CompactJson()),
        migrations.AddConstraint(
            "recheck",
            models.CheckConstraint(
                condition=models.Q(report__isnull=True) ^ models.Q(trouble=""),
                name="rechecked_or_in_trouble",
            ),
        ),
    ]
