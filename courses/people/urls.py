"""Addresses of signing in and of accounts."""

from django.urls import path

from courses.people import views

app_name = "people"
urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign_in"),
    path("sign-out/", views.SignOut.as_view(), name="sign_out"),
    path("password/", views.password_change, name="password_change"),
    path("people/", views.person_list, name="person_list"),
    path("people/add/", views.person_add, name="person_add"),
    path("people/<int:pk>/", views.person_show, name="person_show"),
    path("people/<int:pk>/edit/", views.person_edit, name="person_edit"),
    path("people/<int:pk>/password/", views.password_give, name="password_give"),
    path("people/<int:pk>/switch-off/", views.person_switch_off, name="person_switch_off"),
    path("people/<int:pk>/switch-on/", views.person_switch_on, name="person_switch_on"),
]
