"""A one-time code opens the club of who made it."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("training", "0009_nothing_typed")]

    operations = [
        migrations.AddField(
            model_name="signincode",
            name="club",
            field=models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.CASCADE, to="training.club"
            ),
        ),
    ]
