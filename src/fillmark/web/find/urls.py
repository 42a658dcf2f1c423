"""Where the record is searched."""

from django.urls import path

from fillmark.web.find import views

urlpatterns = [path("find/", views.find, name="find")]
