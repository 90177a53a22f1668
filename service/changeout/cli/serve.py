"""``changeout serve``: the HTTP service under gunicorn."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import click
from gunicorn import util
from gunicorn.app.base import BaseApplication

from changeout.application.environment import JURISDICTIONS_VARIABLE, SettingsError
from changeout.cli import gunicorn_settings
from changeout.cli.options import CannotError, jurisdictions_option
from changeout.editions.rows import RulesetError

_METERS_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"


class _Server(BaseApplication):  # type: ignore[misc]  # gunicorn's own way in: a class with two methods to fill
    """The application with its settings, as gunicorn takes them."""

    def __init__(self, settings: Mapping[str, Any]) -> None:
        self._settings = settings
        super().__init__()

    def load_config(self) -> None:
        known = self.cfg.settings
        for name, value in {**vars(gunicorn_settings), **self._settings}.items():
            if name in known:
                self.cfg.set(name, value)

    def load(self) -> Callable[..., Any]:
        try:
            application: Callable[..., Any] = util.import_app("changeout.wsgi:app")
        except RulesetError as broken:
            raise CannotError(f"a ruleset cannot be used: {broken}") from None
        except SettingsError as broken:
            raise CannotError(str(broken)) from None
        return application


@click.command(
    epilog="""\b
Examples:
  changeout serve
  changeout serve --bind 0.0.0.0:8000 --workers 2 --jurisdictions ./local
  CHANGEOUT_TOKEN=... changeout serve

\b
Environment:
  CHANGEOUT_TOKEN             callers of /v1 must bear this token (Authorization: Bearer ...)
  CHANGEOUT_AT_ONCE           how many requests a worker judges at once (4)
  CHANGEOUT_WAITING           how many more may wait; the next gets 503 with Retry-After (16)
  CHANGEOUT_PATIENCE_SECONDS  how long they wait before they get 503 (5)
  CHANGEOUT_BATCH_LINES       how many lines a batch may have (10000)"""
)
@click.option("--bind", default=gunicorn_settings.bind, show_default=True, help="HOST:PORT, or unix:PATH.")
@click.option("--workers", type=click.IntRange(1, 64), default=gunicorn_settings.workers, show_default=True)
@click.option(
    "--threads", type=click.IntRange(1, 64), default=gunicorn_settings.threads, show_default=True, help="Per worker."
)
@jurisdictions_option
def serve(bind: str, workers: int, threads: int, jurisdictions: Path | None) -> None:
    """Serve the HTTP interface until told to stop.

    The rulesets are loaded before the first worker starts: a broken one is named, and nothing starts. The interface
    can be read and tried under /docs. Each request gives one line of JSON on standard output.
    """
    if jurisdictions is not None:
        os.environ[JURISDICTIONS_VARIABLE] = str(jurisdictions)
    settings: dict[str, Any] = {"bind": bind, "workers": workers, "threads": threads}
    if workers > 1 and _METERS_VARIABLE not in os.environ:
        folder = tempfile.mkdtemp(prefix="changeout-meters-")
        os.environ[_METERS_VARIABLE] = folder
        # Only the first process calls this, when all workers are gone.
        settings["on_exit"] = lambda _: shutil.rmtree(folder)
    _Server(settings).run()
