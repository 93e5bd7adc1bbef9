from django.urls import path

from courses.lessons import views

app_name = "lessons"
urlpatterns = [
    path("", views.lesson_list, name="lesson_list"),
    path("<slug:slug>/", views.lesson_show, name="lesson_show"),
    path("<slug:slug>/revision/<int:number>/", views.lesson_show, name="lesson_show_revision"),
    path("<slug:slug>/revision/<int:number>/read/", views.lesson_read, name="lesson_read"),
]
