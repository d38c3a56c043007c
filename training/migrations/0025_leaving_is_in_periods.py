"""When somebody left is told by their counting periods alone."""

from django.db import migrations, models
from django.db.models import F, Max, OuterRef, Subquery
from django.db.models.functions import Coalesce


def say_when_they_left(apps, schema_editor):
    """On the way back: before, whoever is a former member has left at an instant.

    Of one who never counted it is not known: then as though at once, so that nothing counts.
    """
    here = schema_editor.connection.alias
    of_each = (
        apps.get_model("training", "CountingPeriod")
        .objects.using(here)
        .filter(membership=OuterRef("pk"))
        .values("membership")
        .annotate(last=Max("left_at"))
    )
    apps.get_model("training", "Membership").objects.using(here).filter(standing="former").update(
        left_at=Coalesce(Subquery(of_each.values("last")), F("joined_at"))
    )


class Migration(migrations.Migration):

    dependencies = [
        ('training', '0024_periods_of_today'),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name='membership',
            name='former_members_have_no_name',
        ),
        migrations.RunPython(migrations.RunPython.noop, say_when_they_left),
        migrations.RemoveField(
            model_name='membership',
            name='left_at',
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('display_name', ''), ('standing', 'former')), models.Q(models.Q(('standing', 'former'), _negated=True), models.Q(('display_name', ''), _negated=True)), _connector='OR'), name='former_members_have_no_name'),
        ),
    ]
