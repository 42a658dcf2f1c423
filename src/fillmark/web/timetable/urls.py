"""The address of the day's times, under one animal."""

from django.urls import path

from fillmark.web.timetable import views

urlpatterns = [path("", views.timetable, name="timetable")]
