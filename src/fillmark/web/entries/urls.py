"""Where entries are sent and asked for."""

from django.urls import path

from fillmark.web.entries import views

urlpatterns = [path("entries", views.entries, name="entries")]
