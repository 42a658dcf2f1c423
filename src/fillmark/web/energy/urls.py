"""The address of what print says, under one animal."""

from django.urls import path

from fillmark.web.energy import views

urlpatterns = [path("", views.energy, name="energy")]
