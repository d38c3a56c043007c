"""Where everything stands."""

from django.http import HttpRequest, HttpResponse
from django.urls import include, path

from clubsite.health import health
from clubsite.metrics import metrics
from training.api import errors as api_errors
from training.web.pages.errors import views as page_errors

urlpatterns = [
    path("health/", health, name="health"),
    path("metrics/", metrics, name="metrics"),
    path("api/v1/", include("training.api.urls")),
    path("", include("training.web.urls")),
]


# Each as a page for people and as problem details for programs.
def _is_program(request: HttpRequest) -> bool:
    return request.path.startswith("/api/")


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What Django itself finds unfit to be read."""
    if _is_program(request):
        return api_errors.bad_request(request)
    return page_errors.bad_request(request, exception)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What leads nowhere."""
    if _is_program(request):
        return api_errors.not_found(request)
    return page_errors.not_found(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    """A fault of ours."""
    if _is_program(request):
        return api_errors.server_error(request)
    return page_errors.server_error(request)


handler400 = bad_request
handler403 = "training.web.pages.errors.views.forbidden"
handler404 = not_found
handler500 = server_error
