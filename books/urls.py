"""Addresses of the books."""

from django.urls import path

from books.views import capacity, driving, season, worth

app_name = "books"
urlpatterns = [
    path("", season.newest, name="newest"),
    path("costs/", worth.costs, name="costs"),
    path("<int:pk>/", season.show, name="season"),
    path("<int:pk>/print/", season.pdf, name="season-pdf"),
    path("<int:pk>/list/<slug:name>/", season.listing, name="list"),
    path("<int:pk>/list/<slug:name>.<slug:ending>", season.file, name="list-file"),
    path("<int:pk>/capacity/", capacity.show, name="capacity"),
    path("<int:pk>/capacity/ask/", capacity.ask, name="capacity-ask"),
    path("capacity/<int:pk>/", capacity.run, name="capacity-run"),
    path("capacity/<int:pk>/stop/", capacity.stop, name="capacity-stop"),
    path("<int:pk>/driving/", driving.show, name="driving"),
    path("<int:pk>/driving/plan-at/", driving.plan_at, name="driving-plan-at"),
    path("<int:pk>/worth/", worth.show, name="worth"),
    path("<int:pk>/worth/by-<slug:name>.<slug:ending>", worth.file, name="worth-file"),
]
