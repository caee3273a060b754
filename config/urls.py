"""Every room's addresses, joined."""

from django.contrib import admin
from django.urls import include, path

handler500 = "kit.web.trouble.failed"

urlpatterns = [
    path("", include("front.urls")),
    path("branch/", include("shop.urls")),
    path("homes/", include("customers.urls")),
    path("agreements/", include("agreements.urls")),
    path("letters/", include("letters.urls")),
    path("season/", include("scheduling.urls")),
    path("weather/", include("weather.urls")),
    path("my-day/", include("fieldwork.urls")),
    path("home/", include("reminders.urls")),
    path("books/", include("books.urls")),
    path("parts/", include("kit.web.urls")),
    path("admin/", admin.site.urls),
]
