"""The addresses a phone asks on its own."""

from django.urls import path

from fillmark.web.phone import views

urlpatterns = [
    path("worker.js", views.worker, name="worker"),
    path("manifest.webmanifest", views.manifest, name="manifest"),
    path("keep", views.keep, name="keep"),
    path("no-signal", views.no_signal, name="no_signal"),
]
