"""Where photos are fetched, and where a lead chooses how an animal is told apart."""

from django.urls import path

from fillmark.web.photos import views

urlpatterns = [
    path("photo/<uuid:photo_id>/", views.photo, name="photo"),
    path("photo/<uuid:photo_id>/small/", views.photo, {"is_small": True}, name="photo_small"),
    path("emblem/", views.emblem, name="emblem"),
]
