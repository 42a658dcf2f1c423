"""Where a place begins that is no page of its own otherwise."""

from django.urls import path

from fillmark.web.places import views

urlpatterns = [path("", views.food, name="at_the_food")]
