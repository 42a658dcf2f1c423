"""Where entries are sent and asked for."""

from django.urls import path

from fillmark.web.record import views

urlpatterns = [path("entries", views.entries, name="entries")]
