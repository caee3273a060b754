from django.contrib import admin
from django.http import HttpRequest

from agreements.models import Agreement, AgreementEvent, Charge, OwedVisit, Payment, Plan, Refund


class LookedAt(admin.ModelAdmin):
    """Rows that only the verbs change: a change by hand would leave no history."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: object = None) -> bool:
        return False


admin.site.register([Plan, Agreement, OwedVisit])
admin.site.register([AgreementEvent, Charge, Payment, Refund], LookedAt)
