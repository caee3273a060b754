from django.apps import AppConfig


class FieldworkConfig(AppConfig):
    name = "fieldwork"
