"""Addresses as they are when a mail provider's webhook secret is set."""

from django.urls import include, path

from config.urls import urlpatterns as usual

urlpatterns = [path("letters/anymail/", include("anymail.urls")), *usual]
