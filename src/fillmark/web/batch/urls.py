"""The addresses of a batch as it was made, under one animal."""

from django.urls import path

from fillmark.web.batch import views

urlpatterns = [
    path("", views.batch_made, name="batch_made"),
    path("mark/", views.mark_for_batch, name="mark_for_batch"),
]
