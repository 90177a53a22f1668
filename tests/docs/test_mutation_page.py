"""The page on mutation testing names modules and functions that exist, a reason for each, and scores that add up."""

import re
from importlib import import_module

import pytest
from pages import text_of

TEXT = text_of("mutation")
NAMED = re.findall(r"^\| `((?:rules|electrical)\.[\w.]+)` \| `([\w.]+)` \| (.+?) \| (.+?) \|$", TEXT, re.MULTILINE)
SCORES = re.findall(
    r"^\| `(rules|electrical)` \| ([\d-]+) \| (\d+) \| ([\d,]+) \| (\d+) \| (\d+) \| (\d+) \| (\d+) \| ([\d.]+) % \|",
    TEXT,
    re.MULTILINE,
)


@pytest.mark.parametrize(("module", "function", "change", "reason"), NAMED)
def test_what_survived_is_named_where_it_stands_and_explained(module, function, change, reason):
    found = import_module(f"changeout.{module}")
    for name in function.split("."):
        found = getattr(found, name)
    assert change.strip()
    assert reason.strip()


def test_survivors_and_scores_are_there_for_both_packages():
    assert {module.split(".")[0] for module, *_ in NAMED} == {"rules", "electrical"}
    assert {package for package, *_ in SCORES} == {"rules", "electrical"}


@pytest.mark.parametrize("row", SCORES, ids=lambda row: f"{row[0]}-{row[2]}")
def test_a_score_is_what_its_counts_give(row):
    _, _, _, _, run, killed, refused, survived, score = row
    assert int(run) == int(killed) + int(refused) + int(survived)
    assert float(score) == pytest.approx(100 * (1 - int(survived) / int(run)), abs=0.05)
