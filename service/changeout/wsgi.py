"""The application as a WSGI server loads it: ``gunicorn changeout.wsgi:app``."""

from __future__ import annotations

import gc

# What is made while loading stays: looking for garbage in it would only cost time, now and in every worker.
gc.disable()

import os  # noqa: E402

from changeout.application.garbage import settle  # noqa: E402
from changeout.web.access_log import log_to_stdout  # noqa: E402
from changeout.web.app import create_app  # noqa: E402
from changeout.web.settings import Settings  # noqa: E402

log_to_stdout()
app = create_app(Settings.from_environment(os.environ))
settle()
