"""How gunicorn serves the application; ``changeout serve`` uses it.

By hand: ``gunicorn --config python:changeout.cli.gunicorn_settings changeout.wsgi:app``. A proxy that buffers whole
requests belongs in front: a thread that waits for a slow sender serves nobody else. With several workers,
``PROMETHEUS_MULTIPROC_DIR`` must name an empty folder, or each worker counts alone (``changeout serve`` makes one).

There are more threads than places to judge and to wait together, so that a thread is free to turn the next one away.
Classes and hooks are named, not imported: only a server needs them.
"""

from __future__ import annotations

import os
from pathlib import Path

_SHARED_MEMORY = Path("/dev/shm")  # noqa: S108 (heartbeat files belong in memory, not on a disk that may stall)

bind = "127.0.0.1:8080"
worker_class = "changeout.cli.worker.Worker"
workers = 1
threads = 32
worker_connections = 1000
preload_app = True
control_socket_disable = True
graceful_timeout = 20
keepalive = 5
worker_tmp_dir = str(_SHARED_MEMORY) if os.access(_SHARED_MEMORY, os.W_OK) else None
when_ready = "changeout.cli.worker.when_ready"
post_fork = "changeout.cli.worker.post_fork"
post_request = "changeout.cli.worker.post_request"
child_exit = "changeout.cli.meter_files.child_exit"
