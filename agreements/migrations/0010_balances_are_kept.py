"""What each agreement stands at, kept by triggers; the balances of the past are written."""

import django.db.models.deletion
from django.db import migrations, models

from agreements.keeping import put_up, take_down


class Migration(migrations.Migration):
    dependencies = [
        ("agreements", "0009_plans_have_a_history"),
    ]

    operations = [
        migrations.CreateModel(
            name="Balance",
            fields=[
                (
                    "agreement",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="balance",
                        serialize=False,
                        to="agreements.agreement",
                    ),
                ),
                (
                    "cents",
                    models.BigIntegerField(
                        help_text="Above 0: to be paid, now or later; below: to go back"
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(
                        condition=models.Q(("cents", 0), _negated=True),
                        fields=["cents"],
                        name="balances_that_are_open",
                    )
                ],
            },
        ),
        migrations.RunPython(put_up, take_down),
    ]
