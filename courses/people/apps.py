from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "courses.people"
    label = "people"
    default_auto_field = "django.db.models.BigAutoField"
