from django.contrib.auth.views import LogoutView
from django.urls import path
from django.views.generic import RedirectView

from front.views import health, sign_in, staff, today

app_name = "front"
urlpatterns = [
    path("", today.today, name="today"),
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("branches/", today.branches, name="branches"),
    # The search box of every page's head looks through the homes.
    path(
        "search/",
        RedirectView.as_view(pattern_name="customers:list", query_string=True),
        name="search",
    ),
    path("health/", health.health, name="health"),
    path("ready/", health.ready, name="ready"),
    path("second-step/", sign_in.second_step, name="second-step"),
    path("second-step/new/", sign_in.set_up_second_step, name="set-up-second-step"),
    path("account/", sign_in.account, name="account"),
    path("account/end/<int:number>/", sign_in.end, name="end-session"),
    path("staff/", staff.listing, name="staff"),
    path("staff/new/", staff.new, name="invite"),
    path("staff/<int:pk>/<str:what>/", staff.change, name="staff-change"),
    path(
        "choose-password/<uidb64>/<token>/", staff.ChoosePassword.as_view(), name="choose-password"
    ),
]
