"""Where people sign in."""

from django.urls import path

from fillmark.web.sign_in import views

urlpatterns = [
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-in/<str:token>/", views.use_link, name="use_link"),
    path("sign-out/", views.sign_out, name="sign_out"),
]
