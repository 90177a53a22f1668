"""A rule is added as DEVELOPERS.md says: one module, a row in each edition, a file of cases; nothing else is touched."""

import json
import os
import shutil
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

import changeout
from changeout.application.service import Service
from changeout.domain.vocabulary import EDITIONS

PACKAGE = Path(changeout.__file__).parent
NAME = "made-up-panelboard-hangs-upright"
MODULE = f'''
"""An invented rule: how the panelboard hangs."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, words
from changeout.rules._registry import Limits, rule


@rule(
    "{NAME}",
    group="location",
    about="/panelboard/orientation",
    stage=Stage.INTAKE,
    needs=("/panelboard/orientation",),
    applies_to="every proposal",
    parameters={{"allowed": "words"}},
)
def upright(case: Case, limits: Limits) -> Answer:
    """The panelboard hangs as the edition wants it.

    Because: this rule is made up, to see that one can be added.
    Passes: when its orientation is one of those allowed.
    Fails: when it is another.
    Cannot tell: when nobody says.
    """
    orientation = case.panelboard.orientation
    return decide(
        orientation.among(*limits.words("allowed")),
        yes="the panelboard hangs as the edition wants it",
        no="the panelboard does not hang as the edition wants it",
        found=words("orientation", orientation.value) if orientation.value else None,
        notes=Notes(remedy="turn it"),
    )
'''
ROW = f"""
[rule.{NAME}]
in_force = true
effect = "violation"
section = "1.2(M)"
source = "made up"
reviewed = "common-practice"
[rule.{NAME}.parameters]
allowed = {{ value = ["vertical"{{more}}] }}
"""
CASES = f"""
rule = "{NAME}"
start = "dwelling-service"

[[case]]
name = "upright"
kind = "passes"
editions = {list(EDITIONS)}
set = {{ "/panelboard/orientation" = "vertical" }}
outcome = "satisfied"
source = "made up"

[[case]]
name = "on its back"
kind = "fails"
editions = {list(EDITIONS)}
set = {{ "/panelboard/orientation" = "face-up" }}
outcome = "violation"
section = "1.2(M)"
source = "made up"

[[case]]
name = "on its side"
kind = "fails"
editions = ["2017", "2020", "2023"]
set = {{ "/panelboard/orientation" = "horizontal" }}
outcome = "violation"
source = "made up"

[[case]]
name = "on its side, as the newest lets it"
kind = "passes"
editions = ["2026"]
set = {{ "/panelboard/orientation" = "horizontal" }}
outcome = "satisfied"
source = "made up"

[[case]]
name = "nobody says"
kind = "cannot-tell"
editions = {list(EDITIONS)}
remove = ["/panelboard/orientation"]
outcome = "undetermined"
missing = ["/panelboard/orientation"]
source = "made up"

[gaps]
"* limit" = "words have no limit"
"""
ASKED = f'''
import json, sys
import changeout
from changeout.application.rulesets import coverage_text, doubts_text
from changeout.application.service import Service
from changeout.editions.load import load_editions
from changeout.render.report_json import report_object
from changeout.review.catalogue import rule_cases
from changeout.review.coverage import coverage, empty_cells
from changeout.rules import load_rules

service, name = Service.load(), "{NAME}"
sys.path.insert(0, sys.argv[1])
from rules.table import cases, proposal_of
from expectations import compare

wrong = []
for case in cases():
    if case.rule == name:
        document = json.dumps(proposal_of(case, service.example(case.start))).encode()
        wrong += compare(report_object(service.validate(document, detail="findings")), case.expect)
rules = load_rules()
tables = {{rule: rule_cases(rule) for rule in rules}}
found = coverage(rules, load_editions(), tables)
print(json.dumps({{
    "from": changeout.__file__,
    "ran": sum(case.rule == name for case in cases()),
    "wrong": wrong,
    "empty": empty_cells(found),
    "page": service.rule("2026", name),
    "changes": [e["rule"] for e in service.changes("2026", "2023")["entries"]],
    "coverage": coverage_text(),
    "digests": {{edition: ruleset.digest for edition, ruleset in service.rulesets.items()}},
}}))
'''


def contents(package):
    files = (f for f in package.rglob("*") if f.is_file() and "__pycache__" not in f.parts)
    return {f.relative_to(package).as_posix(): sha256(f.read_bytes()).hexdigest() for f in files}


@pytest.fixture(scope="module")
def added(tmp_path_factory):
    """What a copy of the package answers once the rule is added to it, and the files that differ from ours."""
    root = tmp_path_factory.mktemp("copy")
    copy = root / "changeout"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    before = contents(copy)
    (copy / "rules" / "made_up.py").write_text(MODULE, "utf-8")
    (copy / "rules" / "cases" / f"{NAME}.toml").write_text(CASES, "utf-8")
    for edition in EDITIONS:
        more = ', "horizontal"' if edition == EDITIONS[-1] else ""
        with (copy / "editions" / f"{edition}.toml").open("a", encoding="utf-8") as file:
            file.write(ROW.replace("{more}", more))
    after = contents(copy)
    touched = {name for name in after if after[name] != before.get(name)}
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", ASKED, str(Path(__file__).parents[1])],
        env={**os.environ, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"},
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.stderr == ""
    return json.loads(done.stdout), copy, touched


def test_only_the_files_of_the_recipe_are_touched(added):
    answers, copy, touched = added
    editions = {f"editions/{edition}.toml" for edition in EDITIONS}
    assert touched == {"rules/made_up.py", f"rules/cases/{NAME}.toml"} | editions
    assert Path(answers["from"]).parent == copy


def test_its_cases_run_and_hold(added):
    answers, _, _ = added
    assert (answers["ran"], answers["wrong"]) == (4 * 4, [])


def test_its_page_and_its_change_are_there(added):
    answers, _, _ = added
    page = answers["page"]
    assert (page["rule"], page["section"], page["first_in_force"]) == (NAME, "1.2(M)", EDITIONS[0])
    assert page["parameters"]["allowed"]["value"] == ["vertical", "horizontal"]
    assert [example["kind"] for example in page["examples"]] == ["passes", "fails", "cannot-tell"]
    assert NAME in answers["changes"]


def test_its_coverage_is_there_and_complete(added):
    answers, _, _ = added
    assert answers["empty"] == []
    section = answers["coverage"].split(f"### {NAME}\n")[1].split("\n### ")[0]
    assert "| 2023 | 1.2(M) | 1 | 2 | 1 | - | no |" in section
    assert "| 2026 | 1.2(M) | 2 | 1 | 1 | - | 1 |" in section
    assert "- on the limit, every edition: words have no limit" in section


def test_every_digest_moves(added):
    answers, _, _ = added
    ours = Service.load().rulesets
    assert all(answers["digests"][edition] != ours[edition].digest for edition in EDITIONS)
