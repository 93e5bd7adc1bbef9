from django.apps import AppConfig


class StandingConfig(AppConfig):
    name = "assessments.standing"
    label = "standing"
    default_auto_field = "django.db.models.BigAutoField"
