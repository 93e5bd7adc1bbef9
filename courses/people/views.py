"""Signing in and out, one's own password, and the accounts."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.views import LoginView, LogoutView
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from courses.people import services
from courses.people.access import PersonRequest, roles_only
from courses.people.forms import (
    GivenPasswordForm,
    NewPersonForm,
    OwnPasswordForm,
    PersonListForm,
    PlaceForm,
    SignInForm,
)
from courses.people.roles import Role
from courses.people.selectors import accounts_visible_to, get_account_for

ROWS_A_PAGE = 50


class SignIn(LoginView):
    template_name = "people/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True


class SignOut(LogoutView):
    """By POST only, so that no link or picture can sign anybody out."""


@sensitive_post_parameters()
def password_change(request: PersonRequest) -> HttpResponse:
    form = OwnPasswordForm(request.user, request.POST or None, request=request)
    if request.method == "POST" and form.is_valid():
        form.save()
        update_session_auth_hash(request, request.user)
        messages.success(request, "Your password is changed. Other devices are signed out.")
        return redirect("people:person_show", request.user.pk)
    return render(request, "people/password_change.html", {"form": form})


@roles_only(Role.ADMINISTRATOR, Role.SUPERVISOR)
def person_list(request: PersonRequest) -> HttpResponse:
    ask = PersonListForm(request.GET or None)
    chosen = ask.cleaned_data if ask.is_valid() else {}
    people = accounts_visible_to(request.user, crew=chosen.get("crew"), words=chosen.get("words", ""))
    page = Paginator(people, ROWS_A_PAGE).get_page(request.GET.get("page"))
    may_change = request.user.has_role(Role.ADMINISTRATOR)
    return render(request, "people/person_list.html", {"ask": ask, "page": page, "may_change": may_change})


def person_show(request: PersonRequest, pk: int) -> HttpResponse:
    person = get_account_for(request.user, pk)
    shown = {
        "person": person,
        "is_own": person.pk == request.user.pk,
        "may_change": request.user.has_role(Role.ADMINISTRATOR),
        "may_list": request.user.has_role(Role.ADMINISTRATOR, Role.SUPERVISOR),
    }
    return render(request, "people/person_show.html", shown)


@sensitive_post_parameters()
@roles_only(Role.ADMINISTRATOR)
def person_add(request: PersonRequest) -> HttpResponse:
    form = NewPersonForm(request.POST or None, back=reverse("people:person_list"))
    if request.method == "POST" and form.is_valid():
        person = services.add_person(by=request.user, **form.cleaned_data)
        messages.success(request, f"{person} is added and can sign in as {person.username}.")
        return redirect("people:person_show", person.pk)
    return render(request, "people/person_add.html", {"form": form})


@roles_only(Role.ADMINISTRATOR)
def person_edit(request: PersonRequest, pk: int) -> HttpResponse:
    person = get_account_for(request.user, pk)
    now = {"job_title": person.job_title, "crew": person.crew, "roles": sorted(person.roles)}
    form = PlaceForm(request.POST or None, initial=now, back=reverse("people:person_show", args=[pk]))
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            services.change_person(by=request.user, person=person, **said)
        except services.LastAdministratorError as refused:
            form.add_error("roles", str(refused))
        else:
            messages.success(request, f"{person}: saved.")
            return redirect("people:person_show", pk)
    return render(request, "people/person_edit.html", {"form": form, "person": person})


@sensitive_post_parameters()
@roles_only(Role.ADMINISTRATOR)
def password_give(request: PersonRequest, pk: int) -> HttpResponse:
    if pk == request.user.pk:
        return redirect("people:password_change")
    person = get_account_for(request.user, pk)
    form = GivenPasswordForm(request.POST or None, person=person, back=reverse("people:person_show", args=[pk]))
    if request.method == "POST" and form.is_valid():
        services.give_password(by=request.user, person=person, password=form.cleaned_data["password"])
        messages.success(request, f"{person} has a new password. Other devices are signed out.")
        return redirect("people:person_show", pk)
    return render(request, "people/password_give.html", {"form": form, "person": person})


@require_POST
@roles_only(Role.ADMINISTRATOR)
def person_switch_off(request: PersonRequest, pk: int) -> HttpResponse:
    person = get_account_for(request.user, pk)
    try:
        services.switch_off(by=request.user, person=person)
    except services.LastAdministratorError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"{person} can no longer sign in. Records and sign-in name stay.")
    return redirect("people:person_show", pk)


@require_POST
@roles_only(Role.ADMINISTRATOR)
def person_switch_on(request: PersonRequest, pk: int) -> HttpResponse:
    person = get_account_for(request.user, pk)
    services.switch_on(by=request.user, person=person)
    messages.success(request, f"{person} can sign in again.")
    return redirect("people:person_show", pk)
