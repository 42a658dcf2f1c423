"""Where entries are sent."""

from django.urls import path

from fillmark.web.record import views

urlpatterns = [path("entries", views.record_entries, name="record_entries")]
