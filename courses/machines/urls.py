from django.urls import path

from courses.machines import views

app_name = "machines"
urlpatterns = [
    path("", views.machine_list, name="machine_list"),
    path("<slug:slug>/", views.machine_show, name="machine_show"),
    path("<slug:slug>/sheet/revise/", views.sheet_revise, name="sheet_revise"),
    path("<slug:slug>/sheet/<int:number>/", views.sheet_show, name="sheet_show"),
]
