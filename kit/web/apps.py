from pathlib import Path

from django.apps import AppConfig
from django.conf import settings


class KitWebConfig(AppConfig):
    name = "kit.web"
    label = "kit_web"

    def ready(self) -> None:
        if settings.DEMO_CLOCK:
            from kit.web.demo_clock import install

            install(Path(settings.DEMO_CLOCK))
