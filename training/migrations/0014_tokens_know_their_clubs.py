"""Tokens of today keep what their owners can reach today, and reach no club joined later."""

import django.db.models.deletion
from django.db import migrations, models


def keep_what_is_reached(apps, schema_editor):
    here = schema_editor.connection.alias
    reach = apps.get_model("training", "TokenReach")
    membership = apps.get_model("training", "Membership")
    clubs = {}
    for person, club in membership.objects.using(here).order_by("club").values_list("person", "club"):
        clubs.setdefault(person, []).append(club)
    for token in apps.get_model("knox", "AuthToken").objects.using(here).all():
        reach.objects.using(here).create(token_id=token.pk, clubs=clubs.get(token.user_id, []))


class Migration(migrations.Migration):
    dependencies = [
        ("knox", "0009_extend_authtoken_field"),
        ("training", "0013_newcomers_wait"),
    ]

    operations = [
        migrations.CreateModel(
            name="TokenReach",
            fields=[
                (
                    "token",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="reach",
                        serialize=False,
                        to="knox.authtoken",
                    ),
                ),
                ("clubs", models.JSONField(default=list)),
                ("program", models.CharField(blank=True, default="", max_length=60)),
            ],
        ),
        migrations.RunPython(keep_what_is_reached, migrations.RunPython.noop),
    ]
