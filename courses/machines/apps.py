from django.apps import AppConfig


class MachinesConfig(AppConfig):
    name = "courses.machines"
    label = "machines"
    default_auto_field = "django.db.models.BigAutoField"
