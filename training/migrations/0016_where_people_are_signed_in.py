"""Each session says whose it is, since when and roughly where; those of today as far as known."""

from datetime import timedelta

import django.db.models.deletion
from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.db import migrations, models


def note_sessions_of_today(apps, schema_editor):
    here = schema_editor.connection.alias
    signed_in = apps.get_model("training", "SignedIn")
    people = set(apps.get_model("training", "Person").objects.using(here).values_list("pk", flat=True))
    store = SessionStore()
    for one in apps.get_model("sessions", "Session").objects.using(here).iterator():
        person = store.decode(one.session_data).get(SESSION_KEY, "")
        if person.isdigit() and int(person) in people:
            began_at = one.expire_date - timedelta(seconds=settings.SESSION_COOKIE_AGE)
            signed_in.objects.using(here).get_or_create(
                session_id=one.pk, defaults={"person_id": int(person), "began_at": began_at}
            )


class Migration(migrations.Migration):
    dependencies = [
        ("sessions", "0001_initial"),
        ("training", "0015_verifications"),
    ]

    operations = [
        migrations.CreateModel(
            name="SignedIn",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("began_at", models.DateTimeField()),
                ("browser", models.CharField(blank=True, default="", max_length=30)),
                ("system", models.CharField(blank=True, default="", max_length=30)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="signed_in",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "session",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="signed_in",
                        to="sessions.session",
                    ),
                ),
            ],
            options={"ordering": ["-began_at", "-pk"]},
        ),
        migrations.RunPython(note_sessions_of_today, migrations.RunPython.noop),
    ]
