from django.contrib.auth.views import LogoutView
from django.urls import path
from django.views.generic import RedirectView

from front import views

app_name = "front"
urlpatterns = [
    path("", views.today, name="today"),
    path("sign-in/", views.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("branches/", views.branches, name="branches"),
    # The search box of every page's head looks through the homes.
    path(
        "search/",
        RedirectView.as_view(pattern_name="customers:list", query_string=True),
        name="search",
    ),
    path("health/", views.health, name="health"),
]
