"""The clock is set back and forth by years: decisions, limits and connections do not notice."""

import http.client

from fault_load import JSON, PROPOSAL, ask, workers_of

from serving import serving

SET_CLOCK = """
import time

_true = time.time


def _shown():
    with open({clock!r}) as clock:
        return _true() + float(clock.read() or 0)


time.time = _shown
"""
"""Loaded by Python before anything else: the clock that people set, as far as Python code reads it."""

YEAR_S = 365 * 24 * 3600


def test_a_clock_that_jumps_changes_nothing_but_the_time_in_the_log(tmp_path):
    clock, folder = tmp_path / "clock", tmp_path / "before"
    clock.write_text("0")
    folder.mkdir()
    (folder / "sitecustomize.py").write_text(SET_CLOCK.format(clock=str(clock)))
    environment = {"PYTHONPATH": str(folder), "CHANGEOUT_RATE": "12/hour"}
    with serving(tmp_path, environment=environment) as served:
        workers = workers_of(served)
        kept = http.client.HTTPConnection("127.0.0.1", served.port, timeout=60)
        bodies = set()
        for years in (0, 10, -10, 1, -20, 30):
            (tmp_path / "next").write_text(str(years * YEAR_S))
            (tmp_path / "next").replace(clock)
            # Over one connection that stays, and over a new one.
            kept.request("POST", "/v1/validations", PROPOSAL, JSON)
            response = kept.getresponse()
            bodies.add(response.read())
            assert response.status == 200
            assert ask(served.port).status == 200
        assert len(bodies) == 1
        # What may be sent within an hour is counted by time that passes, not by what the clock shows.
        refused = ask(served.port)
        assert refused.status == 429
        assert 0 < int(refused.headers["retry-after"]) <= 3600
        assert workers_of(served) == workers
        assert len({line["time"][:4] for line in served.log() if line.get("status") == 200}) == 6
        kept.close()
