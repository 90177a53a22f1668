"""HUP: rulesets are loaded again while requests are answered; broken ones change nothing."""

import re
import signal

from fault_load import Load, ask, ready, until, workers_of

from serving import serving

RULESET = """
[jurisdiction]
id = "{id}"
name = "Heron Point"
note = "Invented for a test."

[[adoption]]
edition = "2020"
from = 2022-01-01
event = "application-filed"
reference = "an invented ordinance"
source = "invented"
"""


def test_changed_rulesets_are_taken_and_no_request_is_lost(tmp_path):
    folder = tmp_path / "local"
    folder.mkdir()
    with serving(tmp_path, "--workers", "2", "--jurisdictions", str(folder)) as served:
        old = ready(served.port)["ruleset"]
        with Load(served.port) as load:
            load.answered(20)
            until(lambda: len(workers_of(served)) == 2, "two workers")
            before = workers_of(served)
            (folder / "heron-point.toml").write_text(RULESET.format(id="heron-point"))
            served.process.send_signal(signal.SIGHUP)
            until(lambda: not set(before) & set(workers_of(served)), "new workers only")
            load.answered(20)
        assert load.failures() == {}
        assert set(load.statuses()) == {200}
        assert {told.headers["changeout-ruleset"] for told in load.told} == {old, ready(served.port)["ruleset"]}
        assert ready(served.port)["ruleset"] != old
        assert ask(served.port, "/v1/jurisdictions/heron-point", None).status == 200
        # One ruleset is served, and the meters say so.
        builds = re.findall(r"^changeout_build\{.*\}", ask(served.port, "/metrics", None).body.decode(), re.MULTILINE)
        assert len(builds) == 1
        assert ready(served.port)["ruleset"] in builds[0]
        lines = [line for line in served.log() if line.get("route") == "/v1/validations"]
        assert len(lines) == len(load.told)


def test_a_broken_ruleset_is_named_and_those_in_use_stay(tmp_path):
    folder = tmp_path / "local"
    folder.mkdir()
    (folder / "heron-point.toml").write_text(RULESET.format(id="heron-point"))
    with serving(tmp_path, "--jurisdictions", str(folder)) as served:
        old = ready(served.port)["ruleset"]
        before = workers_of(served)
        (folder / "other.toml").write_text('[jurisdiction]\nid = "other"\n')
        served.process.send_signal(signal.SIGHUP)
        until(lambda: "Not loaded again" in served.err.read_text(), "the reason")
        assert "other.toml" in served.err.read_text()
        assert "Traceback" not in served.err.read_text()
        until(lambda: not set(before) & set(workers_of(served)), "new workers only")
        assert ready(served.port)["ruleset"] == old
        assert ask(served.port, "/v1/jurisdictions/heron-point", None).status == 200

        (folder / "other.toml").write_text(RULESET.format(id="other"))
        served.process.send_signal(signal.SIGHUP)
        until(lambda: ready(served.port)["ruleset"] != old, "the mended ruleset in use")
        assert ask(served.port, "/v1/jurisdictions/other", None).status == 200
