"""Where the question "once or twice?" is asked and answered."""

from django.urls import path

from fillmark.web.once_or_twice import views

urlpatterns = [path("once-or-twice/", views.once_or_twice, name="once_or_twice")]
