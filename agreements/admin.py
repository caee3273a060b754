from django.contrib import admin

from agreements.models import Agreement, OwedVisit, Plan

admin.site.register([Plan, Agreement, OwedVisit])
