from __future__ import annotations

import pytest
from django.urls import reverse

from tests.factories.people import PersonFactory


@pytest.mark.django_db
def test_a_page_behind_sign_in_is_not_kept_by_the_browser(client):
    client.force_login(PersonFactory(), backend="django.contrib.auth.backends.ModelBackend")

    kept = client.get(reverse("people:password_change")).headers["Cache-Control"]

    assert "no-store" in kept
    assert "private" in kept
