"""Where a household's people and its clock are looked after."""

from django.urls import path

from fillmark.web.household import views

urlpatterns = [
    path("household/", views.household, name="household"),
    path("household/invite/", views.invite, name="invite"),
    path("household/link/", views.link, name="new_link"),
    path("household/lost/", views.lost, name="lost_phone"),
    path("household/sign-ins/", views.sign_ins, name="sign_ins"),
    path("household/end/", views.end, name="end_sign_in"),
    path("household/person/", views.person, name="change_person"),
    path("household/password/", views.password, name="choose_password"),
    path("household/settings/", views.settings, name="change_household"),
]
