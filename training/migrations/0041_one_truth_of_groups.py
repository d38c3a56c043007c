"""Groups are in the times of belonging, and nowhere else."""

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("training", "0040_groups_from_joining")]

    operations = [migrations.RemoveField(model_name="membership", name="groups")]
