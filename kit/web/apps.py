from django.apps import AppConfig


class KitWebConfig(AppConfig):
    name = "kit.web"
    label = "kit_web"
