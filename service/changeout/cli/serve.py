"""``changeout serve``: the HTTP service under gunicorn."""

from __future__ import annotations

import gc
import importlib
import os
import resource
import socket
import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import click
from gunicorn.app.base import BaseApplication
from gunicorn.util import parse_address

from changeout.application.environment import JURISDICTIONS_VARIABLE, STALL_VARIABLE, SettingsError
from changeout.cli import gunicorn_settings, meter_files
from changeout.cli.options import CannotError, jurisdictions_option
from changeout.editions.rows import RulesetError

_APPLICATION: Final = "changeout.wsgi"
_FILES_KEPT_FREE: Final = 64
"""How many file descriptors a worker may need for anything but connections."""
_HIGHEST_PORT: Final = 0xFFFF


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
            return _application()
        except (RulesetError, SettingsError) as broken:
            raise CannotError(_reason(broken)) from None

    def reload(self) -> None:
        """Load the rulesets again, for the workers to come; if they are not in order, those in use stay."""
        super().reload()
        try:
            self.callable = _application(again=True)
        except (RulesetError, SettingsError) as broken:
            click.echo(f"Not loaded again, what was loaded stays in use: {_reason(broken)}", err=True)


def _application(*, again: bool = False) -> Callable[..., Any]:
    """Return the application, made when first asked for, or made *again* from what is on the disk now.

    Raises:
        RulesetError: if a ruleset cannot be used.
        SettingsError: if a variable of the environment cannot be taken.
    """
    module = importlib.import_module(_APPLICATION)
    if again:
        gc.unfreeze()
        module = importlib.reload(module)
    application: Callable[..., Any] = module.app
    return application


def _reason(broken: RulesetError | SettingsError) -> str:
    return f"a ruleset cannot be used: {broken}" if isinstance(broken, RulesetError) else str(broken)


def _connections(threads: int) -> int:
    """Return how many connections a worker may hold, so that it never runs out of file descriptors for them.

    Raises:
        CannotError: if there are too few file descriptors for so many threads.
    """
    files, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = gunicorn_settings.worker_connections + _FILES_KEPT_FREE
    if files < wanted:
        raised = wanted if most == resource.RLIM_INFINITY else min(most, wanted)
        # Where that is forbidden, what there is has to do.
        with suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (raised, most))
            files = raised
    connections = min(files, wanted) - _FILES_KEPT_FREE
    if connections <= threads:
        raise CannotError(f"{files} open files are allowed, too few for {threads} threads: raise the limit.")
    return connections


def _can_be_bound(_context: click.Context, _option: click.Parameter, bind: str) -> str:
    """Return *bind* if it says where to listen; whether the place is free shows when it is taken.

    Raises:
        click.BadParameter: if it names no port that there is, or a host that has no address.
    """
    try:
        address = parse_address(bind)
        if isinstance(address, tuple):
            host, port = address
            if not 0 <= port <= _HIGHEST_PORT:
                raise click.BadParameter(f"a port is 0 to {_HIGHEST_PORT}.")
            socket.getaddrinfo(host or None, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except (RuntimeError, OSError, UnicodeError) as not_taken:
        raise click.BadParameter(f"{bind!r} is no place to listen: {not_taken}") from None
    return bind


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
  CHANGEOUT_BATCH_LINES       how many lines a batch may have (10000)
  CHANGEOUT_RATE              how much a client may send, such as 120/minute (no limit)
  CHANGEOUT_PROXIES           how many proxies in front tell the client's address (0)
  CHANGEOUT_TRACES            where OpenTelemetry traces are sent (nowhere)

\b
Signals:
  TERM  answer what was taken, then end
  HUP   load the rulesets again; if they are not in order, say so and go on with those in use"""
)
@click.option(
    "--bind",
    default=gunicorn_settings.bind,
    show_default=True,
    callback=_can_be_bound,
    help="HOST:PORT, or unix:PATH.",
)
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=gunicorn_settings.workers,
    show_default=True,
    help="Processes; one for each core is enough.",
)
@click.option(
    "--threads",
    type=click.IntRange(1, 64),
    default=gunicorn_settings.threads,
    show_default=True,
    help="Per worker; more than judge and wait.",
)
@click.option(
    "--stall",
    type=click.IntRange(1, 3600),
    default=20,
    show_default=True,
    envvar=STALL_VARIABLE,
    show_envvar=True,
    metavar="SECONDS",
    help="Cut a connection on which no byte moves for so long.",
)
@jurisdictions_option
def serve(bind: str, workers: int, threads: int, stall: int, jurisdictions: Path | None) -> None:
    """Serve the HTTP interface until told to stop.

    The rulesets are loaded before the first worker starts: a broken one is named, and nothing starts. The interface
    can be read and tried under /docs. Each request gives one line of JSON on standard output.
    """
    if jurisdictions is not None:
        os.environ[JURISDICTIONS_VARIABLE] = str(jurisdictions)
    os.environ[STALL_VARIABLE] = str(stall)
    settings: dict[str, Any] = {"bind": bind, "workers": workers, "threads": threads}
    settings["worker_connections"] = _connections(threads)
    _check_heartbeats()
    if workers > 1:
        settings |= _counting_together()
    _Server(settings).run()


def _check_heartbeats() -> None:
    """See that there is a place for the files by which workers show that they live.

    Raises:
        CannotError: if nothing can be written anywhere.
    """
    if gunicorn_settings.worker_tmp_dir is None:
        try:
            tempfile.gettempdir()
        except FileNotFoundError:
            raise CannotError("nothing can be written: make /dev/shm or a temporary folder writable.") from None


def _counting_together() -> dict[str, Any]:
    """Return the settings that remove the folder of shared meters at the end; the environment names it from now on."""
    if meter_files.FOLDER_VARIABLE in os.environ:
        return {}
    folder = meter_files.made_folder(os.environ)
    if folder is None:
        click.echo("Nowhere to write: each worker counts alone.", err=True)
        return {}
    os.environ[meter_files.FOLDER_VARIABLE] = folder
    # Only the first process calls this, when all workers are gone.
    return {"on_exit": lambda _: meter_files.remove_folder(folder)}
