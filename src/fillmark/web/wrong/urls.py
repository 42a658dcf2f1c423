"""Where trouble is looked up and written down, and where a lock on feeding is cleared."""

from django.urls import path

from fillmark.web.wrong import views

urlpatterns = [
    path("wrong/", views.wrong, name="wrong"),
    path("wrong/write/", views.write_trouble, name="write_trouble"),
    path("wrong/part/", views.write_part, name="write_part"),
    path("lock/", views.lock, name="lock"),
]
