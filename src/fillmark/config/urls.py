"""The root of all addresses."""

from django.urls import include, path

urlpatterns = [path("", include("fillmark.web.entries.urls")), path("", include("fillmark.web.urls"))]
