"""Where those who build the look see all of it; not there outside of debugging."""

from django.urls import path

from fillmark.web.drawings import views

urlpatterns = [
    path("", views.design, name="design"),
    path("palettes.css", views.palettes, name="palettes"),
]
