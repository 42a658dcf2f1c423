"""Where people sign in."""

from django.urls import path

from fillmark.web.sign_in import passkeys, views

urlpatterns = [
    path("sign-in/", views.sign_in, name="sign_in"),
    path("sign-in/passkey/", passkeys.sign_in, name="passkey_sign_in"),
    path("sign-in/passkey/ask/", passkeys.ask_to_sign_in, name="passkey_ask_to_sign_in"),
    path("household/passkey/", passkeys.make, name="passkey_make"),
    path("household/passkey/ask/", passkeys.ask_to_make, name="passkey_ask_to_make"),
    path("household/passkey/end/", passkeys.end, name="passkey_end"),
    path("sign-in/<str:token>/", views.use_link, name="use_link"),
    path("sign-out/", views.sign_out, name="sign_out"),
]
