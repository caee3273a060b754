from django.contrib import admin

from reminders.models import HomeEvent, NoStart, ReminderDay

admin.site.register([HomeEvent, NoStart, ReminderDay])
