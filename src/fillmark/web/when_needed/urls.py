"""The address of a medicine that is given when needed, under one animal."""

from django.urls import path

from fillmark.web.when_needed import views

urlpatterns = [path("<slug:medicine>/", views.when_needed, name="when_needed")]
