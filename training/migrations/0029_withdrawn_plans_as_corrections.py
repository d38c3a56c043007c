"""Plans withdrawn so far become entries among the corrections; the log's lines of them go."""

from django.db import migrations


def note_withdrawals(apps, schema_editor):
    here = schema_editor.connection.alias
    correction = apps.get_model("training", "Correction")
    membership = apps.get_model("training", "Membership")
    withdrawn = apps.get_model("training", "Plan").objects.using(here).filter(status="withdrawn")
    by_whom = {
        (club, person): pk
        for club, person, pk in membership.objects.using(here).values_list("club", "person", "pk")
    }
    made = []
    for plan in withdrawn.select_related("scramble__scramble_set", "verdict"):
        verdict = getattr(plan, "verdict", None)
        club = plan.scramble.scramble_set.club_id
        excess = verdict.excess if verdict else None
        figures = {"canonical": plan.canonical, "excess": excess}
        made.append(
            correction(
                club_id=club,
                kind="plan_withdrawn",
                scramble_set=plan.scramble.scramble_set,
                scramble=plan.scramble,
                plan=plan,
                by_id=by_whom.get((club, plan.withdrawn_by_id)),
                done_at=plan.withdrawn_at or plan.handed_in_at,
                reason=plan.withdrawn_reason,
                before={"status": "checked" if verdict else "waiting", **figures},
                after={"status": "withdrawn", **figures},
            )
        )
    correction.objects.using(here).bulk_create(made, 500)
    apps.get_model("training", "Deed").objects.using(here).filter(what="plan_withdrawn").delete()


class Migration(migrations.Migration):
    dependencies = [("training", "0028_corrections")]

    operations = [migrations.RunPython(note_withdrawals, migrations.RunPython.noop)]
