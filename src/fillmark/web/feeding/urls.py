"""The addresses of a day's feeding, under one animal."""

from django.urls import path

from fillmark.web.feeding import ladder, views

urlpatterns = [
    path("", views.feeding, name="feeding"),
    path("<day:on>/", views.feeding, name="feeding_on"),
    path("drank/", views.drank, name="drank"),
    path("ladder/", ladder.ladder, name="ladder"),
    path("ladder/ate/", ladder.ate, name="ate"),
]
