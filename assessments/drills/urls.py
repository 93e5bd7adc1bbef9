from django.urls import path

from assessments.drills import views

app_name = "drills"

urlpatterns = [
    path("", views.drill_list, name="drill_list"),
    path("past/", views.attempt_list, name="attempt_list"),
    path("scenario/<slug:slug>/", views.scenario_open, name="scenario_open"),
    path("<int:pk>/", views.attempt_answer, name="attempt_answer"),
    path("<int:pk>/save/", views.attempt_save, name="attempt_save"),
    path("<int:pk>/look-over/", views.attempt_review, name="attempt_review"),
    path("<int:pk>/hand-in/", views.attempt_hand_in, name="attempt_hand_in"),
    path("<int:pk>/result/", views.attempt_result, name="attempt_result"),
]
