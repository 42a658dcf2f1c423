"""The address of a medicine that is given when needed, under one animal."""

from django.urls import path

from fillmark.web.needed import views

urlpatterns = [path("<slug:medicine>/", views.needed, name="needed")]
