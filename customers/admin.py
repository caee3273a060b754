from django.contrib import admin

from customers.models import Customer, Filter, Home, System

admin.site.register([Customer, Home, System, Filter])
