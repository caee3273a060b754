from django.urls import path

from kit.web import views

app_name = "kit"
urlpatterns = [path("", views.parts, name="parts")]
