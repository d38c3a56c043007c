from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('training', '0024_periods_of_today'),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name='membership',
            name='former_members_have_no_name',
        ),
        migrations.RemoveField(
            model_name='membership',
            name='left_at',
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('display_name', ''), ('standing', 'former')), models.Q(models.Q(('standing', 'former'), _negated=True), models.Q(('display_name', ''), _negated=True)), _connector='OR'), name='former_members_have_no_name'),
        ),
    ]
