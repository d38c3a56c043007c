from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def forget_excuses(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Before 0051 no entry excuses a time: whoever goes back loses them, and their undoings."""
    entries = apps.get_model("training", "Correction")
    alias = schema_editor.connection.alias
    excuses = entries.objects.using(alias).filter(kind="time_excused")
    excuses.filter(undoes__isnull=False).delete()
    excuses.delete()


class Migration(migrations.Migration):
    """Nothing on the way here. A step of its own: PostgreSQL alters no table that lost rows."""

    dependencies = [("training", "0051_time_excused")]

    operations = [migrations.RunPython(migrations.RunPython.noop, forget_excuses)]
