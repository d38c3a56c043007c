"""Where everything stands."""

from django.urls import include, path

from clubsite.health import health

urlpatterns = [
    path("health/", health, name="health"),
    path("api/v1/", include("training.api.urls")),
    path("", include("training.web.urls")),
]

handler400 = "training.web.views.errors.bad_request"
handler403 = "training.web.views.errors.forbidden"
handler404 = "training.web.views.errors.not_found"
handler500 = "training.web.views.errors.server_error"
