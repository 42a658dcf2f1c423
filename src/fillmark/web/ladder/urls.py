"""The addresses of the ladders, under one animal."""

from django.urls import path

from fillmark.web.ladder import views

urlpatterns = [path("", views.ladder, name="ladder"), path("ate/", views.ate, name="ate")]
