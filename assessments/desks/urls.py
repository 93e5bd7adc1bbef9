from django.urls import path

from assessments.desks import views

app_name = "desks"

urlpatterns = [
    path("", views.bench, name="bench"),
]
