from django.apps import AppConfig


class WeatherConfig(AppConfig):
    name = "weather"
    label = "weather"
