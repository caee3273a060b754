"""Addresses of a home's own page, reached by its link from a letter, and of the office's pages."""

from django.urls import path

from reminders.views import home, no_start, office, telephone

app_name = "reminders"
urlpatterns = [
    path("reminders/", office.coming, name="coming"),
    path("no-starts/", office.no_starts, name="no-starts"),
    path("no-starts/<int:pk>/seen/", office.seen, name="no-start-seen"),
    path("told/<int:pk>/", telephone.told, name="told"),
    path("<str:token>/", home.show, name="home"),
    path("<str:token>/filter/<int:pk>/", home.filter_changed, name="filter-changed"),
    path("<str:token>/cover/", home.cover, name="cover"),
    path("<str:token>/no-start/", no_start.emergency, name="no-start"),
    path("<str:token>/no-start/check/", no_start.check, name="no-start-check"),
    path("<str:token>/no-start/<str:outcome>/", no_start.ended, name="no-start-ended"),
]
