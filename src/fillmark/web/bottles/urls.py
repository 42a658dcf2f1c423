"""The addresses of the medicine bottles, under one animal."""

from django.urls import path

from fillmark.web.bottles import views

urlpatterns = [
    path("", views.bottles, name="bottles"),
    path("<slug:medicine>/open/", views.open_bottle, name="open_bottle"),
    path("<slug:medicine>/count/", views.count_bottle, name="count_bottle"),
    path("<uuid:bottle>/strength/", views.strength, name="strength"),
]
