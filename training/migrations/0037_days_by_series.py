"""The days of a club's sets stand in its series alone, one set a series and day."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("training", "0036_first_series")]

    operations = [
        migrations.RemoveConstraint(
            model_name='club',
            name='club_daily_scrambles_1_to_12',
        ),
        migrations.RemoveField(
            model_name='club',
            name='daily_closes',
        ),
        migrations.RemoveField(
            model_name='club',
            name='daily_opens',
        ),
        migrations.RemoveField(
            model_name='club',
            name='daily_scrambles',
        ),
        migrations.RemoveField(
            model_name='club',
            name='daily_weekdays',
        ),
        migrations.AddConstraint(
            model_name='scrambleset',
            constraint=models.UniqueConstraint(fields=('series', 'day'), name='one_set_a_series_and_day'),
        ),
    ]
