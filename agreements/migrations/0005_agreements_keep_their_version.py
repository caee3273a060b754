from django.db import migrations


def keep(apps, schema_editor):
    """Each plan's terms of today become its first version, on which its agreements stand."""
    Plan = apps.get_model("agreements", "Plan")
    PlanVersion = apps.get_model("agreements", "PlanVersion")
    Agreement = apps.get_model("agreements", "Agreement")
    inherited = [
        field.name
        for field in PlanVersion._meta.fields
        if field.name not in ("id", "plan", "number", "valid_from", "made_at", "made_by")
    ]
    for plan in Plan.objects.all():
        made = Agreement.objects.filter(plan=plan)
        first = made.order_by("starts_on").values_list("starts_on", flat=True).first()
        if first is None:
            continue  # it gets its first version with its first sale
        version = PlanVersion.objects.create(
            plan=plan, number=1, valid_from=first, **{name: getattr(plan, name) for name in inherited}
        )
        made.update(version=version)


class Migration(migrations.Migration):

    dependencies = [
        ('agreements', '0004_plan_versions_and_money'),
    ]

    operations = [migrations.RunPython(keep, migrations.RunPython.noop)]
