"""Says in a header what CPU a request took, from the first middleware to the finished response."""

from __future__ import annotations

import time
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

HEADER = "X-CPU-Seconds"


def meter(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    def metered(request: HttpRequest) -> HttpResponse:
        began = time.process_time()
        response = get_response(request)
        response[HEADER] = f"{time.process_time() - began:.9f}"
        return response

    return metered
