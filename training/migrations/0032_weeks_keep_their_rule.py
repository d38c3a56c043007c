"""How many sets of a week count stands with its sets; those of today have what their club has."""

from django.db import migrations, models


def keep_todays(apps, schema_editor):
    here = schema_editor.connection.alias
    sets = apps.get_model("training", "ScrambleSet").objects.using(here)
    clubs = apps.get_model("training", "Club").objects.using(here).filter(best_sets_counted__isnull=False)
    for club, counted in clubs.values_list("pk", "best_sets_counted"):
        sets.filter(club=club).update(best_sets_counted=counted)


class Migration(migrations.Migration):
    dependencies = [
        ('training', '0031_spares'),
    ]

    operations = [
        migrations.AddField(
            model_name='scrambleset',
            name='best_sets_counted',
            field=models.PositiveSmallIntegerField(blank=True, null=True),
        ),
        migrations.RunPython(keep_todays, migrations.RunPython.noop),
    ]
