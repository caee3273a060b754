from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="SentForm",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=32, unique=True)),
                ("sent_at", models.DateTimeField(db_index=True)),
                ("led_to", models.CharField(blank=True, max_length=200)),
            ],
        ),
    ]
