from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("customers", "0003_looks_are_written_down"),
        ("letters", "0004_books_count_letters"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="link",
            index=models.Index(
                condition=models.Q(("expires_at__isnull", False), ("revoked_at", None)),
                fields=["expires_at"],
                name="links_that_will_end",
            ),
        ),
    ]
