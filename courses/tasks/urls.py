from django.urls import path

from courses.tasks import views

app_name = "tasks"
urlpatterns = [
    path("", views.task_list, name="task_list"),
    path("<str:code>/", views.task_show, name="task_show"),
]
