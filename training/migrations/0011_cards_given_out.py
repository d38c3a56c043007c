"""Sign-in cards given out keep working where it is clear what they open; the others end."""

from django.db import migrations


def name_clubs(apps, schema_editor):
    here = schema_editor.connection.alias
    code = apps.get_model("training", "SignInCode")
    membership = apps.get_model("training", "Membership")
    for one in code.objects.using(here).filter(used_at__isnull=True, club__isnull=True):
        if one.made_by_id == one.person_id:
            # By whoever runs the server: it opens all.
            continue
        clubs = membership.objects.using(here).filter(person=one.person_id).values_list("club", flat=True)
        if len(clubs) == 1:
            code.objects.using(here).filter(pk=one.pk).update(club=clubs[0])
        else:
            one.delete()


class Migration(migrations.Migration):
    dependencies = [("training", "0010_codes_know_their_club")]

    operations = [migrations.RunPython(name_clubs, migrations.RunPython.noop)]
