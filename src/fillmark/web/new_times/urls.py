"""The addresses of the new times of today, under one animal."""

from django.urls import path

from fillmark.web.new_times import views

urlpatterns = [path("", views.new_times, name="new_times"), path("back/", views.take_back, name="new_times_back")]
