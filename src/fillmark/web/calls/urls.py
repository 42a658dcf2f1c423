"""Where trouble is looked up and written down, and where a lock on feeding is cleared."""

from django.urls import path

from fillmark.web.calls import views

urlpatterns = [
    path("calls/", views.calls, name="calls"),
    path("calls/write/", views.write_trouble, name="write_trouble"),
    path("calls/part/", views.write_part, name="write_part"),
    path("lock/", views.lock, name="lock"),
]
