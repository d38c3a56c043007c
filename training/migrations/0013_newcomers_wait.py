from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('training', '0012_log_consent_and_former_members'),
    ]

    operations = [
        migrations.AddField(
            model_name='invite',
            name='made_for',
            field=models.CharField(blank=True, default='', max_length=40),
        ),
        migrations.AddConstraint(
            model_name='invite',
            constraint=models.CheckConstraint(condition=models.Q(('made_for', ''), ('places', 1), _connector='OR'), name='invite_by_name_for_one'),
        ),
    ]
