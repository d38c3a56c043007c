"""The web process. It never loads the solver's compiled code."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubsite.settings.base")
application = get_wsgi_application()
