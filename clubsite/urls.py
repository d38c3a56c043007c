"""Where everything stands."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path

from clubsite.health import health
from training.api import errors as api_errors
from training.web.views import errors as page_errors

urlpatterns = [
    path("health/", health, name="health"),
    path("api/v1/", include("training.api.urls")),
    path("", include("training.web.urls")),
]

handler400 = "training.web.views.errors.bad_request"
handler403 = "training.web.views.errors.forbidden"
handler404 = "training.web.views.errors.not_found"


def server_error(request: HttpRequest) -> HttpResponse:
    """A fault of ours, as a page for people and as problem details for programs."""
    if request.path.startswith("/api/"):
        return api_errors.server_error(request)
    return page_errors.server_error(request)


handler500 = server_error
