"""The addresses of the ways to feed the day, under one animal."""

from django.urls import path

from fillmark.web.ways import views, what_if

urlpatterns = [
    path("", views.ways, name="ways"),
    path("what-if/", what_if.what_if, name="what_if"),
]
