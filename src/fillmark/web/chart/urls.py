"""The addresses of the chart of medicines, under one animal."""

from django.urls import path

from fillmark.web.chart import views

urlpatterns = [
    path("", views.chart, name="chart"),
    path("<day:on>/", views.chart, name="chart_on"),
    path("<day:first>/paper/", views.paper, name="chart_paper"),
    path("sheet/", views.print_sheet, name="chart_sheet"),
    path("sheet/thrown-away/", views.sheet_thrown_away, name="sheet_thrown_away"),
    path("effect/", views.effect, name="chart_effect"),
    path("version/<int:number>/", views.version, name="chart_version"),
]
