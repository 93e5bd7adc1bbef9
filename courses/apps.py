from django.apps import AppConfig


class CoursesConfig(AppConfig):
    """The site itself: shared templates, static files, commands and start-up checks."""

    name = "courses"
    default_auto_field = "django.db.models.BigAutoField"
