"""Names of the environment variables that the command and the server read."""

from __future__ import annotations

from typing import Final

JURISDICTIONS_VARIABLE: Final = "CHANGEOUT_JURISDICTIONS"
"""A folder of further local rulesets."""

TOKEN_VARIABLE: Final = "CHANGEOUT_TOKEN"  # noqa: S105 (the name of the variable, no token)
"""What a caller of the service must bear."""

AT_ONCE_VARIABLE: Final = "CHANGEOUT_AT_ONCE"
"""How many requests a worker judges at the same time."""

WAITING_VARIABLE: Final = "CHANGEOUT_WAITING"
"""How many more may wait for that."""

PATIENCE_VARIABLE: Final = "CHANGEOUT_PATIENCE_SECONDS"
"""How long they wait before they are turned away."""

BATCH_LINES_VARIABLE: Final = "CHANGEOUT_BATCH_LINES"
"""How many lines a batch may have."""

RATE_VARIABLE: Final = "CHANGEOUT_RATE"
"""How many requests a client may send in which time."""

PROXIES_VARIABLE: Final = "CHANGEOUT_PROXIES"
"""How many proxies stand before the service and tell who the client is."""

TRACES_VARIABLE: Final = "CHANGEOUT_TRACES"
"""Where traces are sent."""

STALL_VARIABLE: Final = "CHANGEOUT_STALL_SECONDS"
"""After how many seconds without a byte a connection is cut."""


class SettingsError(Exception):
    """A variable of the environment has a value that cannot be taken."""
