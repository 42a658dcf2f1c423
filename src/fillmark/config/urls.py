"""The root of all addresses."""

from django.urls import include, path

handler500 = "fillmark.web.out_of_reach.failed"
urlpatterns = [path("", include("fillmark.web.entries.urls")), path("", include("fillmark.web.urls"))]
