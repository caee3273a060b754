"""Addresses of the outbox, and of the pages that stand in letters."""

import anymail.urls
from django.conf import settings
from django.urls import URLPattern, URLResolver, include, path, re_path

from letters.views import customers, letterhead, outbox

app_name = "letters"
urlpatterns: list[URLPattern | URLResolver] = [
    path("office/", outbox.outbox, name="outbox"),
    path("office/pause/", outbox.pause, name="pause"),
    path("office/<int:pk>/", outbox.letter, name="letter"),
    path("office/<int:pk>/html/", outbox.letter_html, name="letter-html"),
    re_path(
        r"^office/(?P<pk>\d+)/(?P<act>send|arrived|retry|aside)/$", outbox.act, name="letter-act"
    ),
    path("office/addresses/", outbox.bad_addresses, name="bad-addresses"),
    re_path(
        r"^office/addresses/(?P<pk>\d+)/(?P<act>seen|works)/$",
        outbox.bad_address,
        name="bad-address-act",
    ),
    path("office/letterhead/", letterhead.letterhead, name="letterhead"),
    path("office/letterhead/test/", letterhead.test_letter, name="test-letter"),
    path("office/samples/", letterhead.samples, name="samples"),
    path("office/samples/<str:kind>/<str:language>/", letterhead.sample_html, name="sample-html"),
    path("<str:token>/", customers.stop, name="stop"),
    path("<str:token>/one-click/", customers.one_click, name="one-click"),
]
if settings.ANYMAIL.get("WEBHOOK_SECRET"):
    urlpatterns.insert(0, path("anymail/", include(anymail.urls)))
