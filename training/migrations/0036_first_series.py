"""The daily set of a club becomes its first series; its sets so far become that series' sets."""

from django.db import migrations

OLD = {
    "weekdays": "daily_weekdays",
    "opens": "daily_opens",
    "closes": "daily_closes",
    "scrambles": "daily_scrambles",
}


def make_first_series(apps, schema_editor):
    here = schema_editor.connection.alias
    series = apps.get_model("training", "Series").objects.using(here)
    sets = apps.get_model("training", "ScrambleSet").objects.using(here)
    for club in apps.get_model("training", "Club").objects.using(here).order_by("pk"):
        first = series.create(club=club, **{new: getattr(club, old) for new, old in OLD.items()})
        sets.filter(club=club, kind="daily").update(series=first)


def give_back_to_club(apps, schema_editor):
    """The first series' rule is the club's again; sets of others stay, as sets somebody gave.

    A day had one daily set: of several, those of later series become club nights.
    """
    here = schema_editor.connection.alias
    series = apps.get_model("training", "Series").objects.using(here)
    sets = apps.get_model("training", "ScrambleSet").objects.using(here)
    for club in apps.get_model("training", "Club").objects.using(here):
        first = series.filter(club=club).order_by("pk").first()
        for new, old in OLD.items():
            setattr(club, old, getattr(first, new))
        club.save(update_fields=list(OLD.values()))
        sets.filter(club=club, kind="daily").exclude(series=first).update(kind="club_night")
    sets.update(series=None)


class Migration(migrations.Migration):
    dependencies = [("training", "0035_series")]

    operations = [migrations.RunPython(make_first_series, give_back_to_club)]
