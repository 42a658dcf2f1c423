"""Where a lead settles what could not be kept as it came."""

from django.urls import path

from fillmark.web.set_aside import views

urlpatterns = [
    path("set-aside/", views.set_aside, name="set_aside"),
    path("set-aside/<uuid:aside_id>/", views.settle, name="settle_aside"),
]
