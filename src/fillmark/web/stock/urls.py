"""The addresses of the medicine bottles, under one animal."""

from django.urls import path

from fillmark.web.stock import views

urlpatterns = [
    path("", views.stock, name="stock"),
    path("<slug:medicine>/open/", views.open_bottle, name="open_bottle"),
    path("<slug:medicine>/count/", views.count_bottle, name="count_bottle"),
    path("<uuid:bottle>/strength/", views.strength, name="strength"),
]
