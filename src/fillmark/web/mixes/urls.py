"""The addresses of the mixes and the foods on hand, under one animal."""

from django.urls import path

from fillmark.web.mixes import foods, views

urlpatterns = [
    path("", views.mixes, name="mixes"),
    path("foods/", foods.foods, name="foods"),
    path("foods/new/", foods.food, name="food_new"),
    path("foods/<uuid:entry_id>/", foods.food, name="food"),
]
