"""Where an animal's plan is looked at, taken along as a file, and taken in."""

from django.urls import path

from fillmark.web.plan import taking_in, views

urlpatterns = [
    path("", views.plan, name="plan"),
    path("versions/", views.versions, name="plan_versions"),
    path("versions/<int:number>.toml", views.version_as_toml, name="plan_toml"),
    path("versions/<int:number>.json", views.version_as_json, name="plan_json"),
    path("take-in/", taking_in.take_in, name="take_in"),
]
