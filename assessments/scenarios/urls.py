from django.urls import path

from assessments.scenarios import views

app_name = "scenarios"
urlpatterns = [
    path("", views.scenario_list, name="scenario_list"),
    path("new/", views.scenario_add, name="scenario_add"),
    path("<slug:slug>/", views.scenario_show, name="scenario_show"),
    path("<slug:slug>/revise/", views.scenario_revise, name="scenario_revise"),
    path("<slug:slug>/close/", views.scenario_close, name="scenario_close"),
    path("<slug:slug>/reopen/", views.scenario_reopen, name="scenario_reopen"),
]
