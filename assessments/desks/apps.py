from django.apps import AppConfig


class DesksConfig(AppConfig):
    name = "assessments.desks"
    label = "desks"
    default_auto_field = "django.db.models.BigAutoField"
