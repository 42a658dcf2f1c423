"""The addresses of the ways to feed the day, under one animal."""

from django.urls import path

from fillmark.web.blend import views

urlpatterns = [
    path("", views.blend, name="blend"),
    path("what-if/", views.what_if, name="what_if"),
]
