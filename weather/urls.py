"""Addresses of the almanac and the backtest."""

from django.urls import path

from weather.views import almanac, backtest

app_name = "weather"
urlpatterns = [
    path("", almanac.show, name="almanac"),
    path("backtest/", backtest.ask, name="backtest"),
    path("backtest/<int:pk>/", backtest.show, name="backtest-run"),
    path("backtest/<int:pk>/stop/", backtest.stop, name="backtest-stop"),
]
