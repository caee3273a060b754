import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('agreements', '0005_agreements_keep_their_version'),
    ]

    operations = [
        migrations.AlterField(
            model_name='agreement',
            name='version',
            field=models.ForeignKey(help_text='The terms it was made on; they stay whatever becomes of the plan', on_delete=django.db.models.deletion.PROTECT, related_name='agreements', to='agreements.planversion'),
        ),
    ]
