from django.db import migrations, models


class Migration(migrations.Migration):
    """An entry may excuse the time of a plan. Going back, 0052 takes such entries away first."""

    dependencies = [("training", "0050_window_begins")]

    operations = [
        migrations.RemoveConstraint(model_name="correction", name="correction_of_its_kind"),
        migrations.AddConstraint(
            model_name="correction",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("kind__in", ["set_out", "kept_open"]),
                        ("plan__isnull", True),
                        ("scramble__isnull", True),
                    ),
                    models.Q(
                        ("kind__in", ["scramble_void", "spare"]),
                        ("plan__isnull", True),
                        ("scramble__isnull", False),
                    ),
                    models.Q(
                        ("kind__in", ["plan_withdrawn", "rotation", "time_excused"]),
                        ("plan__isnull", False),
                        ("scramble__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="correction_of_its_kind",
            ),
        ),
    ]
