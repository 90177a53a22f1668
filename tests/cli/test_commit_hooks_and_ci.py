"""The hooks for pre-commit and the step for a CI work as they are shipped."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from changeout.application.service import Service

DEPLOY = Path(__file__).parents[2] / "deploy"
LOCAL = Path(__file__).parents[2] / "service/changeout/editions/local"
SERVICE = Service.load()
SLIPPED = SERVICE.example("dwelling-service").replace(
    b'"short_circuit_rating": "10 kA"', b'"short_circuit_rating": "5 kA"'
)


@pytest.fixture
def run(tmp_path):
    author = {f"GIT_{who}_{what}": "nobody@invalid" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
    environment = {
        **os.environ,
        **author,
        "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        "PRE_COMMIT_HOME": str(tmp_path / "cache"),
    }

    def run(folder, *words, **variables):
        return subprocess.run(
            words,
            cwd=folder,
            env={**environment, **variables},
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )

    return run


@pytest.fixture
def hooks(tmp_path, run):
    """A repository with the definitions, as somebody would make one."""
    folder = tmp_path / "hooks"
    folder.mkdir()
    (folder / ".pre-commit-hooks.yaml").write_bytes((DEPLOY / "pre-commit-hooks.yaml").read_bytes())
    for words in (("git", "init", "-q"), ("git", "add", "."), ("git", "commit", "-q", "-m", "hooks")):
        assert run(folder, *words).returncode == 0
    return folder


def committed(tmp_path, run, files):
    work = tmp_path / "work"
    work.mkdir()
    for name, content in files.items():
        (work / name).write_bytes(content)
    for words in (("git", "init", "-q"), ("git", "add", ".")):
        assert run(work, *words).returncode == 0
    return work


def hooked(run, work, hooks, name):
    return run(work, sys.executable, "-m", "pre_commit", "try-repo", str(hooks), name, "--all-files", "--verbose")


def test_a_proposal_that_conforms_passes(tmp_path, run, hooks):
    files = {"a.proposal.json": SERVICE.example("dwelling-service"), "notes.json": b"{}"}
    done = hooked(run, committed(tmp_path, run, files), hooks, "changeout-check")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "a.proposal.json: CONFORMS" in done.stdout
    assert "notes.json" not in done.stdout


def test_a_violation_fails_and_is_told(tmp_path, run, hooks):
    files = {"a.proposal.json": SERVICE.example("dwelling-service"), "b.proposal.json": SLIPPED}
    done = hooked(run, committed(tmp_path, run, files), hooks, "changeout-check")
    assert done.returncode == 1
    assert "b.proposal.json: VIOLATIONS" in done.stdout
    assert "exit code: 1" in done.stdout


def test_a_file_that_cannot_be_read_fails_with_its_place(tmp_path, run, hooks):
    done = hooked(run, committed(tmp_path, run, {"a.proposal.json": b'{"changeout": 1,\n}'}), hooks, "changeout-check")
    assert done.returncode == 1
    assert "a.proposal.json:2:1: malformed-json" in done.stdout
    assert "exit code: 2" in done.stdout


def test_local_rulesets_are_checked(tmp_path, run, hooks):
    good = (LOCAL / "demo-harbor-county.toml").read_bytes()
    files = {"a.ruleset.toml": good, "b.ruleset.toml": good.replace(b'edition = "2017"', b'edition = "2016"')}
    work = committed(tmp_path, run, files)
    done = hooked(run, work, hooks, "changeout-ruleset-check")
    assert done.returncode == 1
    assert "a.ruleset.toml: in order" in done.stdout
    assert "b.ruleset.toml:9" in done.stdout
    (work / "b.ruleset.toml").unlink()
    assert run(work, "git", "add", ".").returncode == 0
    assert hooked(run, work, hooks, "changeout-ruleset-check").returncode == 0


@pytest.fixture
def proposals(tmp_path):
    folder = tmp_path / "proposals" / "below"
    folder.mkdir(parents=True)
    (folder / "open.json").write_bytes(SERVICE.example("half-known-dwelling"))
    (folder.parent / "good.json").write_bytes(SERVICE.example("dwelling-service"))
    return folder.parent


def test_the_step_leaves_reports_and_passes(tmp_path, run, proposals):
    done = run(tmp_path, str(DEPLOY / "ci-check.sh"), proposals.name)
    assert done.returncode == 0, done.stderr
    reports = [json.loads(line) for line in (tmp_path / "reports/changeout.ndjson").read_text().splitlines()]
    assert [report["verdict"] for report in reports] == ["undetermined", "conforms"]
    assert json.loads((tmp_path / "reports/changeout.sarif").read_text())["version"] == "2.1.0"
    assert (tmp_path / "reports/changeout.xml").read_text().startswith("<?xml")


def test_the_step_fails_on_what_it_is_told(tmp_path, run, proposals):
    step = str(DEPLOY / "ci-check.sh")
    assert run(tmp_path, step, "proposals", FAIL_ON="undetermined").returncode == 1
    (tmp_path / "former.ndjson").write_bytes((tmp_path / "reports/changeout.ndjson").read_bytes())
    done = run(tmp_path, step, "proposals", FAIL_ON="undetermined", BASELINE="former.ndjson")
    assert done.returncode == 0, done.stdout + done.stderr
    (proposals / "slip.json").write_bytes(SLIPPED.replace(b"WH-2104", b"WH-2105"))
    assert run(tmp_path, step, "proposals", BASELINE="former.ndjson").returncode == 1
    (proposals / "broken.json").write_bytes(b"{")
    done = run(tmp_path, step, "proposals")
    assert done.returncode == 2
    assert "broken.json:1:2: malformed-json" in done.stderr
