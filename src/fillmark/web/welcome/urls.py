"""The first page of an empty household, and plans to begin with."""

from django.urls import path

from fillmark.web.welcome import views

urlpatterns = [
    path("welcome/", views.welcome, name="welcome"),
    path("examples/dog.toml", views.example_dog, name="example_dog"),
    path("examples/cat.toml", views.example_cat, name="example_cat"),
]
