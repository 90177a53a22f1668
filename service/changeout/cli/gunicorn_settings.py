"""How gunicorn serves the application; ``changeout serve`` uses it.

By hand: ``gunicorn --config python:changeout.cli.gunicorn_settings changeout.wsgi:app``. A proxy that buffers whole
requests belongs in front: a thread that waits for a slow sender serves nobody else. With several workers,
``PROMETHEUS_MULTIPROC_DIR`` must name an empty folder, or each worker counts alone (``changeout serve`` makes one).
"""

from __future__ import annotations

from pathlib import Path

_SHARED_MEMORY = Path("/dev/shm")  # noqa: S108 (heartbeat files belong in memory, not on a disk that may stall)

bind = "127.0.0.1:8080"
worker_class = "gthread"
workers = 1
threads = 8
preload_app = True
control_socket_disable = True
graceful_timeout = 20
keepalive = 5
worker_tmp_dir = str(_SHARED_MEMORY) if _SHARED_MEMORY.is_dir() else None
