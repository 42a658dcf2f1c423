"""Where a plan is made: every draft, one draft, and each of its pages."""

from django.urls import path

from fillmark.web.make_plan import views

urlpatterns = [
    path("make-plan/", views.make_plan, name="make_plan"),
    path("make-plan/<uuid:draft_id>/", views.plan_draft, name="plan_draft"),
    path("make-plan/<uuid:draft_id>/<slug:spot>/", views.plan_question, name="plan_question"),
    path("<uuid:animal_id>/change-plan/", views.change_plan, name="change_plan"),
]
