"""Where an animal's plan is looked at, and taken along as a file."""

from django.urls import path

from fillmark.web.plan import views

urlpatterns = [
    path("", views.plan, name="plan"),
    path("versions/", views.versions, name="plan_versions"),
    path("versions/<int:number>.toml", views.version_as_toml, name="plan_toml"),
    path("versions/<int:number>.json", views.version_as_json, name="plan_json"),
]
