"""Addresses of the technician's day."""

app_name = "fieldwork"
urlpatterns: list = []
