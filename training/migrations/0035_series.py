"""Series: rules by which the sets of a club issue themselves."""

import datetime

import django.db.models.deletion
from django.db import migrations, models

import training.models.settings


class Migration(migrations.Migration):
    dependencies = [("training", "0034_challenges")]

    operations = [
        migrations.RemoveConstraint(
            model_name='scrambleset',
            name='one_daily_set_a_day',
        ),
        migrations.CreateModel(
            name='OtherDay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day', models.DateField()),
                ('held_on', models.DateField(blank=True, null=True)),
                ('opens', models.TimeField(blank=True, null=True)),
                ('closes', models.TimeField(blank=True, null=True)),
            ],
            options={
                'ordering': ['day'],
            },
        ),
        migrations.CreateModel(
            name='Series',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('colours', models.JSONField(default=training.models.settings.white_only)),
                ('spelling', models.CharField(default='club', max_length=6)),
                ('answers_to', models.CharField(default='own_plan', max_length=8)),
                ('table_to', models.CharField(default='own_plan', max_length=8)),
                ('best_sets_counted', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('name', models.CharField(blank=True, default='', max_length=40)),
                ('kind', models.CharField(default='daily', max_length=10)),
                ('weekdays', models.JSONField(blank=True, default=training.models.settings.every_day)),
                ('opens', models.TimeField(default=datetime.time(0, 0))),
                ('closes', models.TimeField(default=datetime.time(0, 0))),
                ('days_later', models.PositiveSmallIntegerField(default=0)),
                ('scrambles', models.PositiveSmallIntegerField(default=5)),
                ('spare', models.BooleanField(default=True)),
                ('club_rules', models.BooleanField(default=True)),
                ('begins_on', models.DateField(blank=True, null=True)),
                ('stopped_on', models.DateField(blank=True, null=True)),
                ('only_on', models.DateField(blank=True, null=True)),
            ],
            options={
                'verbose_name_plural': 'series',
                'ordering': ['pk'],
            },
        ),
        migrations.AddField(
            model_name='series',
            name='club',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='series', to='training.club'),
        ),
        migrations.AddField(
            model_name='series',
            name='groups',
            field=models.ManyToManyField(blank=True, related_name='series', to='training.group'),
        ),
        migrations.AddField(
            model_name='otherday',
            name='series',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='other_days', to='training.series'),
        ),
        migrations.AddField(
            model_name='scrambleset',
            name='series',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.RESTRICT, related_name='sets', to='training.series'),
        ),
        migrations.AddConstraint(
            model_name='series',
            constraint=models.CheckConstraint(condition=models.Q(('scrambles__gte', 1), ('scrambles__lte', 12)), name='series_scrambles_1_to_12'),
        ),
        migrations.AddConstraint(
            model_name='series',
            constraint=models.CheckConstraint(condition=models.Q(('days_later__lte', 13)), name='series_open_two_weeks_at_most'),
        ),
        migrations.AddConstraint(
            model_name='otherday',
            constraint=models.UniqueConstraint(fields=('series', 'day'), name='other_day_once'),
        ),
        migrations.AddConstraint(
            model_name='otherday',
            constraint=models.UniqueConstraint(fields=('series', 'held_on'), name='held_on_once'),
        ),
        migrations.AddConstraint(
            model_name='otherday',
            constraint=models.CheckConstraint(condition=models.Q(('held_on__isnull', False), models.Q(('closes__isnull', True), ('opens__isnull', True)), _connector='OR'), name='left_out_has_no_times'),
        ),
    ]
