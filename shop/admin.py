from django.contrib import admin
from django.contrib.auth.admin import UserAdmin

from shop.models import Branch, User

admin.site.register(Branch)


@admin.register(User)
class StaffAdmin(UserAdmin):
    list_display = ["username", "first_name", "last_name", "role", "branch"]
    fieldsets = (*(UserAdmin.fieldsets or ()), ("Work", {"fields": ["role", "branch"]}))
