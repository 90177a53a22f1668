"""What a deployment may choose about the HTTP edge."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from changeout.application.environment import (
    AT_ONCE_VARIABLE,
    BATCH_LINES_VARIABLE,
    JURISDICTIONS_VARIABLE,
    PATIENCE_VARIABLE,
    PROXIES_VARIABLE,
    RATE_VARIABLE,
    TOKEN_VARIABLE,
    TRACES_VARIABLE,
    WAITING_VARIABLE,
    SettingsError,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The choices of a deployment.

    Args:
        jurisdictions: A folder of further local rulesets.
        token: What a caller of ``/v1/…`` must bear; None asks for nothing.
        at_once: How many requests a worker process judges at the same time.
        waiting: How many more may wait for that.
        patience_s: How long they wait, in seconds, before they are turned away.
        batch_lines: How many lines a batch may have.
        rate: How much a client may send, such as ``120/minute``; None is without limit.
        proxies: How many proxies in front each add the address that they were asked from.
        traces: Where traces are sent, as a URL; None is nowhere.
    """

    jurisdictions: Path | None = None
    token: str | None = field(default=None, repr=False)
    at_once: int = 4
    waiting: int = 16
    patience_s: float = 5.0
    batch_lines: int = 10_000
    rate: str | None = None
    proxies: int = 0
    traces: str | None = None

    @classmethod
    def from_environment(cls, environment: Mapping[str, str]) -> Settings:
        """Return the settings that the environment's ``CHANGEOUT_…`` variables make; an empty one is as none.

        Raises:
            SettingsError: naming the variable and what it takes.
        """
        usual = cls()
        folder = environment.get(JURISDICTIONS_VARIABLE, "")
        return cls(
            jurisdictions=Path(folder) if folder else None,
            token=_token(environment.get(TOKEN_VARIABLE, "")),
            at_once=_count(environment, AT_ONCE_VARIABLE, usual.at_once, least=1),
            waiting=_count(environment, WAITING_VARIABLE, usual.waiting, least=0),
            patience_s=_seconds(environment, PATIENCE_VARIABLE, usual.patience_s),
            batch_lines=_count(environment, BATCH_LINES_VARIABLE, usual.batch_lines, least=1),
            rate=environment.get(RATE_VARIABLE, "") or None,
            proxies=_count(environment, PROXIES_VARIABLE, usual.proxies, least=0),
            traces=_address(environment.get(TRACES_VARIABLE, "")),
        )


def _token(text: str) -> str | None:
    if any(not "!" <= c <= "~" for c in text):
        raise SettingsError(f"{TOKEN_VARIABLE} may have visible ASCII characters only, and no blank.")
    return text or None


def _address(text: str) -> str | None:
    if text and not text.startswith(("http://", "https://")):
        raise SettingsError(f"{TRACES_VARIABLE} is the URL of a collector, such as http://127.0.0.1:4318/v1/traces.")
    return text or None


def _count(environment: Mapping[str, str], name: str, otherwise: int, *, least: int) -> int:
    text = environment.get(name, "")
    if not text:
        return otherwise
    if not (text.isascii() and text.isdigit()) or len(text) > 9 or int(text) < least:
        raise SettingsError(f"{name} is a whole number of at least {least}, not {text!r}.")
    return int(text)


def _seconds(environment: Mapping[str, str], name: str, otherwise: float) -> float:
    text = environment.get(name, "")
    if not text:
        return otherwise
    try:
        seconds = float(text)
    except ValueError:
        seconds = math.nan
    if not 0 <= seconds <= 3600:
        raise SettingsError(f"{name} is a number of seconds from 0 to 3600, not {text!r}.")
    return seconds
