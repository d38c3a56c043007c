"""Settings of the test suite: a secret that is none, quick hashing, no bell."""

import os
import tempfile

os.environ.setdefault("SECRET_KEY", "only-for-tests-" + "0123456789abcdef" * 3)
os.environ.setdefault("WITHIN_EIGHT_DATA", tempfile.gettempdir())

from clubsite.settings.base import *  # noqa: F403
from clubsite.settings.base import LOGGING, REST_FRAMEWORK
from clubsite.settings.env import env_text

ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# Most tests call the task's function themselves; the stack tests name a real broker.
REDIS_URL = env_text("REDIS_URL", "memory://")
REST_FRAMEWORK = {
    **REST_FRAMEWORK,
    "DEFAULT_THROTTLE_RATES": dict.fromkeys(
        ("address", "person", "sign-in", "hand-in"), "10000/min"
    ),
}
LOGGING = {**LOGGING, "root": {"handlers": ["console"], "level": "WARNING"}}
