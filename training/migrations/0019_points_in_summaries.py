"""Points of a set beside its sums: then the table of all time reads no plan."""

from django.db import migrations, models
from django.db.models import Case, F, OuterRef, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce, Least

CAP = 8


def count_points(apps, schema_editor):
    """From the verdicts, as the tables count them: an unsolved plan is the cap."""
    here = schema_editor.connection.alias
    verdicts = apps.get_model("training", "Verdict").objects.using(here)
    points = Case(
        When(solved=True, then=Least(F("excess"), Value(CAP))),
        default=Value(CAP),
        output_field=models.IntegerField(),
    )
    of_summary = (
        verdicts.filter(
            plan__status="checked",
            plan__membership=OuterRef("membership"),
            plan__scramble__scramble_set=OuterRef("scramble_set"),
        )
        .order_by()
        .values("plan__membership")
        .annotate(all_points=Sum(points))
        .values("all_points")
    )
    apps.get_model("training", "SetSummary").objects.using(here).update(
        points=Coalesce(Subquery(of_summary), 0)
    )


class Migration(migrations.Migration):
    dependencies = [
        ("training", "0018_accounts_of_plans"),
    ]

    operations = [
        migrations.AddField(
            model_name="setsummary",
            name="points",
            field=models.PositiveSmallIntegerField(default=0),
        ),
        migrations.RunPython(count_points, migrations.RunPython.noop),
    ]
