from django.contrib import admin

from fieldwork.models import (
    CheckList,
    CheckListVersion,
    Entry,
    PartUsed,
    PhoneEvent,
    Photo,
    Recommendation,
    Record,
    RouteOrder,
    Stamp,
)

admin.site.register(
    [
        CheckList, CheckListVersion, Entry, PartUsed, PhoneEvent, Photo, Recommendation, Record,
        RouteOrder, Stamp,
    ]
)  # fmt: skip
