"""The OpenAPI document as a page to browse."""

from csp.constants import SELF, UNSAFE_INLINE
from csp.decorators import csp_update
from django.utils.decorators import method_decorator
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerView
from rest_framework.renderers import JSONRenderer, TemplateHTMLRenderer


class Document(SpectacularAPIView):
    """The API in OpenAPI 3.1."""

    renderer_classes = [JSONRenderer]


# The page draws itself with inline styles; it shows no club's data and takes no cookie along.
@method_decorator(
    csp_update({"style-src": [SELF, UNSAFE_INLINE], "script-src": [SELF, UNSAFE_INLINE]}),
    name="dispatch",
)
class Browse(SpectacularSwaggerView):
    """A page to read and try it."""

    renderer_classes = [TemplateHTMLRenderer]
