from django.contrib import admin

from scheduling.models import DayOff, Repair, Season, SeasonRun, Shift, Technician, Trip, Visit


class ShiftInline(admin.TabularInline):
    model = Shift
    extra = 0


class DayOffInline(admin.TabularInline):
    model = DayOff
    extra = 0


@admin.register(Technician)
class TechnicianAdmin(admin.ModelAdmin):
    list_display = ["name", "branch", "active"]
    inlines = [ShiftInline, DayOffInline]


admin.site.register([Season, Visit, SeasonRun, Repair, Trip])
