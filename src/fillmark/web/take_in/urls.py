"""Where a care plan is taken in: of an animal that is here, and of a new one."""

from django.urls import path

from fillmark.web.take_in import views

urlpatterns = [
    path("take-in/", views.take_in_new, name="take_in_new"),
    path("<uuid:animal_id>/take-in/", views.take_in, name="take_in"),
]
