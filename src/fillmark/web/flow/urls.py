"""The addresses of the flow tests, under one animal."""

from django.urls import path

from fillmark.web.flow import views

urlpatterns = [path("", views.flow, name="flow"), path("test/", views.flow_test, name="flow_test")]
