from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("letters", "0002_fewer_indexes_of_letters"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="letter",
            index=models.Index(fields=["-written_at", "-id"], name="outbox_newest_first"),
        ),
    ]
