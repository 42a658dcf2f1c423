"""The addresses of a day's intake, under one animal."""

from django.urls import path

from fillmark.web.intake import views

urlpatterns = [
    path("", views.intake, name="intake"),
    path("<day:on>/", views.intake, name="intake_on"),
    path("drank/", views.drank, name="drank"),
]
