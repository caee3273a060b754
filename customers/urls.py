from django.urls import path

from customers.views import entry, homes, looks

app_name = "customers"
urlpatterns = [
    path("", homes.homes, name="list"),
    path("looks/", looks.looks, name="looks"),
    path("new/", entry.new_home, name="home-new"),
    path("<int:pk>/", homes.home, name="home"),
    path("<int:pk>/change/", entry.edit_home, name="home-edit"),
    path("<int:pk>/customer/", entry.edit_customer, name="customer-edit"),
    path("<int:home_pk>/systems/new/", entry.new_system, name="system-new"),
    path("systems/<int:pk>/", entry.edit_system, name="system-edit"),
    path("systems/<int:system_pk>/filters/new/", entry.new_filter, name="filter-new"),
    path("filters/<int:pk>/", entry.edit_filter, name="filter-edit"),
]
