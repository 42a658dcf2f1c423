"""Where a plan is made: every draft, one draft, and each of its pages."""

from django.urls import path

from fillmark.web.make_plan import sheet_views, views

urlpatterns = [
    path("make-plan/", views.make_plan, name="make_plan"),
    path("make-plan/<uuid:draft_id>/", views.plan_draft, name="plan_draft"),
    path("make-plan/<uuid:draft_id>/from-sheet/", sheet_views.from_sheet, name="plan_from_sheet"),
    path("make-plan/<uuid:draft_id>/from-sheet/<slug:group>/", sheet_views.check_sheet, name="plan_check_sheet"),
    path("make-plan/<uuid:draft_id>/<slug:spot>/", views.plan_question, name="plan_question"),
    path("<uuid:animal_id>/change-plan/", views.change_plan, name="change_plan"),
]
