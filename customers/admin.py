from django.contrib import admin

from customers.models import Customer, Filter, Home, HomeLook, System

admin.site.register([System, Filter])


@admin.register(Customer)
class CustomerAdmin(admin.ModelAdmin):
    """Without what is only shown where the look is written down."""

    exclude = ["notes"]


@admin.register(Home)
class HomeAdmin(admin.ModelAdmin):
    exclude = ["gate_code", "access_notes"]


@admin.register(HomeLook)
class HomeLookAdmin(admin.ModelAdmin):
    """Looked at, never changed."""

    list_display = ["at", "by", "home", "screen"]

    def has_add_permission(self, request) -> bool:
        return False

    def has_change_permission(self, request, obj=None) -> bool:
        return False

    def has_delete_permission(self, request, obj=None) -> bool:
        return False
