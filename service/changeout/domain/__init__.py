"""Frozen values the whole project speaks in: facts, claims, proposals, findings, reports. No I/O."""
