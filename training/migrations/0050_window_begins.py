from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("training", "0049_lengths_of_series")]

    operations = [
        migrations.AddField(
            model_name="ownwindow",
            name="opens_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
    ]
