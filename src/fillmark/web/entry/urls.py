"""Where one entry is shown, put right, taken back, and given a photo; and where a note is written."""

from django.urls import path

from fillmark.web.entry import views

urlpatterns = [
    path("entry/<uuid:entry_id>/", views.entry, name="entry"),
    path("entry/<uuid:entry_id>/change/", views.change, name="change_entry"),
    path("entry/<uuid:entry_id>/take-back/", views.take_back, name="take_back"),
    path("entry/<uuid:entry_id>/photo/", views.add_photo, name="add_photo"),
    path("note/", views.note, name="note"),
]
