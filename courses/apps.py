from django.apps import AppConfig


class CoursesConfig(AppConfig):
    """The site itself: shared templates, static files, commands and start-up checks."""

    name = "courses"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from courses import checks  # noqa: F401, PLC0415  (importing it registers the checks)
