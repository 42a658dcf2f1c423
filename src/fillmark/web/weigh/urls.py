"""The addresses of the weight, under one animal."""

from django.urls import path

from fillmark.web.weigh import views

urlpatterns = [
    path("", views.weigh, name="weigh"),
    path("<uuid:entry_id>/follow/", views.follow, name="follow_weight"),
]
