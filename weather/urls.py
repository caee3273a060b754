"""Addresses of the almanac and the backtest."""

app_name = "weather"
urlpatterns: list = []
