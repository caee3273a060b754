from django.db import migrations

from kit.web.append_only import append_only


class Migration(migrations.Migration):

    dependencies = [
        ('agreements', '0007_how_agreements_are_booked'),
    ]

    operations = [
        append_only(
            'agreements_agreementevent', ['id', 'agreement_id', 'at', 'by_id', 'what'], erasable=['words']
        ),
        append_only('agreements_planversion', []),
    ]
