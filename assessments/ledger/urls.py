from django.urls import path

from assessments.ledger import views

app_name = "ledger"
urlpatterns = [path("<int:person_pk>/", views.record_show, name="record_show")]
