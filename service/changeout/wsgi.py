"""The application as a WSGI server loads it: ``gunicorn changeout.wsgi:app``."""

from __future__ import annotations

import os

from changeout.web.access_log import log_to_stdout
from changeout.web.app import create_app
from changeout.web.settings import Settings

log_to_stdout()
app = create_app(Settings.from_environment(os.environ))
