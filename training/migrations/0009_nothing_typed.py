"""Forget what was typed at sign-in: failed pass phrases, codes, the addresses of invites."""

from django.db import migrations


def forget(apps, schema_editor):
    here = schema_editor.connection.alias
    apps.get_model("axes", "AccessAttempt").objects.using(here).all().delete()
    for name in ("AccessLog", "AccessFailureLog"):
        apps.get_model("axes", name).objects.using(here).update(path_info="")
    if schema_editor.connection.vendor == "sqlite":
        # What was deleted lies in the file's free pages until it is written anew.
        schema_editor.execute("VACUUM")
        schema_editor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


class Migration(migrations.Migration):
    # VACUUM does not run inside a transaction; done twice it does no harm.
    atomic = False

    dependencies = [
        ("axes", "0010_accessattemptexpiration"),
        ("training", "0008_languages"),
    ]

    operations = [migrations.RunPython(forget, migrations.RunPython.noop)]
