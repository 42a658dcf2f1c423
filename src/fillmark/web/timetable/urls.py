"""The addresses of the day's times, under one animal."""

from django.urls import path

from fillmark.web.timetable import today, views

urlpatterns = [
    path("", views.timetable, name="timetable"),
    path("today/", today.new_times, name="new_times"),
    path("today/back/", today.take_back, name="new_times_back"),
]
