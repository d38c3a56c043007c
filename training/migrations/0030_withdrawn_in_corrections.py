from django.db import migrations


class Migration(migrations.Migration):

    dependencies = [
        ('training', '0029_withdrawn_plans_as_corrections'),
    ]

    operations = [
        migrations.RemoveField(
            model_name='plan',
            name='withdrawn_at',
        ),
        migrations.RemoveField(
            model_name='plan',
            name='withdrawn_by',
        ),
        migrations.RemoveField(
            model_name='plan',
            name='withdrawn_reason',
        ),
    ]
