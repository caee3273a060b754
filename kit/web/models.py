"""What the web itself has to remember."""

from __future__ import annotations

from django.db import models


class SentForm(models.Model):
    """A form that was sent and took effect, under the key that its page carried."""

    key = models.CharField(max_length=32, unique=True)
    sent_at = models.DateTimeField(db_index=True)
    led_to = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"form {self.key}"
