"""Verdicts of before get the row that waits for what their plans leave."""

from django.db import migrations
from django.db.migrations.state import StateApps


def await_all(apps: StateApps, schema_editor: object) -> None:
    """One statement: a federation has millions."""
    schema_editor.execute(  # type: ignore[attr-defined]
        "INSERT INTO training_outlook (plan_id, version) "
        "SELECT training_verdict.plan_id, 0 FROM training_verdict "
        "JOIN training_plan ON training_plan.id = training_verdict.plan_id "
        "JOIN training_membership ON training_membership.id = training_plan.membership_id "
        "WHERE training_membership.standing <> 'former'"
    )


class Migration(migrations.Migration):
    dependencies = [("training", "0026_pair_ahead_and_outlooks")]

    operations = [migrations.RunPython(await_all, migrations.RunPython.noop)]
