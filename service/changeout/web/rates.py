"""How much a client may send in which time; needs the extra ``limits``.

A client is an address, of IPv6 its network of 64 bits. Each worker process counts for itself, by time that passes:
a clock that is set changes nothing. Probes and meters are not counted.
"""

from __future__ import annotations

import ipaddress
import math
import threading
import time
from collections import OrderedDict
from typing import Final

from flask import Flask, request
from limits import RateLimitItem, parse
from limits.storage import Storage
from limits.strategies import FixedWindowRateLimiter

from changeout.application.environment import RATE_VARIABLE, SettingsError
from changeout.domain.problems import Refusal

_NOT_COUNTED: Final = frozenset({"/livez", "/readyz", "/metrics"})
_MOST_CLIENTS: Final = 20_000
"""Of how many clients the numbers are kept; beyond that, whoever has not been heard of for longest is forgotten."""


def register_rates(app: Flask, rate: str) -> None:
    """Make *app* refuse what a client sends beyond *rate*, such as ``120/minute``.

    Raises:
        SettingsError: if *rate* cannot be read.
    """
    limit = _parsed(rate)
    counts = Counts()
    limiter = FixedWindowRateLimiter(counts)

    def check() -> None:
        client = client_of(request.remote_addr)
        if request.path not in _NOT_COUNTED and not limiter.hit(limit, client):
            wait_s = max(1, math.ceil(counts.rest_s(limit.key_for(client))))
            detail = f"A client may send {limit}; send the same request again in {wait_s} s."
            raise Refusal("too-many-requests", detail, headers=(("Retry-After", str(wait_s)),))

    app.before_request(check)


def client_of(address: str | None) -> str:
    """Return whom an address is counted for."""
    try:
        read = ipaddress.ip_address((address or "").partition("%")[0])
    except ValueError:
        return "unknown"
    if isinstance(read, ipaddress.IPv4Address):
        return str(read)
    if read.ipv4_mapped is not None:
        return str(read.ipv4_mapped)
    return str(ipaddress.ip_network((read, 64), strict=False))


def _parsed(rate: str) -> RateLimitItem:
    try:
        return parse(rate)
    except ValueError:
        raise SettingsError(f"{RATE_VARIABLE} is a number in a time, such as 120/minute, not {rate!r}.") from None


class Counts(Storage):
    """Counts in memory that end by time that passes, of a bounded number of clients.

    The library's own follows the clock that people set, and forgets nobody before his time.
    """

    STORAGE_SCHEME = None
    base_exceptions = ArithmeticError

    def __init__(self) -> None:
        """Begin with nobody."""
        super().__init__()
        self._ends: OrderedDict[str, tuple[int, float]] = OrderedDict()
        self._lock = threading.Lock()

    def incr(self, key: str, expiry: int, amount: int = 1) -> int:
        """Count, and return how many there are now."""
        now = time.monotonic()
        with self._lock:
            number, end = self._ends.get(key, (0, 0.0))
            number, end = (number + amount, end) if now < end else (amount, now + expiry)
            self._ends[key] = (number, end)
            self._ends.move_to_end(key)
            if len(self._ends) > _MOST_CLIENTS:
                self._ends.popitem(last=False)
        return number

    def get(self, key: str) -> int:
        """Return how many there are now."""
        number, end = self._ends.get(key, (0, 0.0))
        return number if time.monotonic() < end else 0

    def rest_s(self, key: str) -> float:
        """Return in how many seconds *key* begins anew."""
        return self._ends.get(key, (0, 0.0))[1] - time.monotonic()

    def get_expiry(self, key: str) -> float:
        """Return when *key* begins anew, by the clock."""
        return time.time() + self.rest_s(key)

    def check(self) -> bool:
        """Return that counts can be kept."""
        return True

    def reset(self) -> int:
        """Forget everybody and return how many that were."""
        with self._lock:
            number = len(self._ends)
            self._ends.clear()
        return number

    def clear(self, key: str) -> None:
        """Forget one."""
        with self._lock:
            self._ends.pop(key, None)
