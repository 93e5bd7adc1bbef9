from django.apps import AppConfig


class ScenariosConfig(AppConfig):
    name = "assessments.scenarios"
    label = "scenarios"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from assessments.scenarios import checks  # noqa: F401, PLC0415  (importing it registers the checks)
