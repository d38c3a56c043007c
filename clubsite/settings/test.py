"""Settings of the test suite: a secret that is none, quick hashing, no bell."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault("SECRET_KEY", "only-for-tests-" + "0123456789abcdef" * 3)
os.environ.setdefault("WITHIN_EIGHT_DATA", tempfile.gettempdir())

from clubsite.settings.base import *  # noqa: F403
from clubsite.settings.base import DATABASES, LOGGING, REST_FRAMEWORK
from clubsite.settings.env import env_text

if "sqlite3" in DATABASES["default"]["ENGINE"]:
    # A file, as in a club: in memory the server of the browser tests and the test itself would
    # share one connection, and each would stand in the middle of the other's transaction.
    DATABASES["default"]["TEST"] = {
        "NAME": str(Path(tempfile.gettempdir()) / f"within-eight-tests-{os.getpid()}.sqlite3")
    }
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
