"""The address of the second check, under one session of one animal."""

from django.urls import path

from fillmark.web.second_check import views

urlpatterns = [path("<slug:medicine>/", views.second_check, name="second_check")]
