from django.urls import path

from assessments.standing import views

app_name = "standing"
urlpatterns = [
    path("", views.board_show, name="board_show"),
    path("own/", views.own, name="own"),
    path("task/<str:code>/", views.task_holders, name="task_holders"),
    *(
        path(f"evidence/<int:person_pk>/{kind}/", views.evidence_enter, {"kind": kind}, name=f"{kind}_enter")
        for kind in ("work", "occurrence")
    ),
    *(
        path(
            f"evidence/<int:person_pk>/{kind}/<int:row_pk>/",
            views.evidence_enter,
            {"kind": kind},
            name=f"{kind}_correct",
        )
        for kind in ("work", "occurrence")
    ),
    path("<int:person_pk>/<str:code>/", views.standing_show, name="standing_show"),
    *(
        path(f"<int:person_pk>/<str:code>/{name}/", views.sign, {"act": name}, name=name)
        for name in ("grant", "renew", "countersign", "suspend", "reinstate", "restrict", "withdraw")
    ),
    *(
        path(f"<int:person_pk>/<str:code>/{name}/<int:event_pk>/", views.sign, {"act": name}, name=name)
        for name in ("lift", "correct")
    ),
]
