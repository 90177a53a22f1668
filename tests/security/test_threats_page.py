"""Every threat that the page names is seen to by tests that exist."""

import ast
import re
from importlib.resources import files
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
PAGE = (files("changeout.docs") / "threats.md").read_text("utf-8")
ROWS = [line.strip("| ").split(" | ") for line in PAGE.splitlines() if line.startswith("| ")]
THREATS = [row for row in ROWS if row[0] != "threat"]


def functions(file):
    """Return the names of the tests in a file."""
    tree = ast.parse((TESTS / file).read_text("utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")}


@pytest.mark.parametrize("row", THREATS, ids=lambda row: row[0][:60])
def test_its_tests_exist(row):
    _threat, done, named = row
    assert done
    tests = re.findall(r"`([\w/]+\.py)(?:::(\w+))?`", named)
    assert tests
    assert ", ".join(f"`{file}::{name}`" if name else f"`{file}`" for file, name in tests) == named
    for file, name in tests:
        assert functions(file), file
        assert not name or name in functions(file), (file, name)


def test_there_are_threats_of_every_kind():
    heads = re.findall(r"^## (.+)$", PAGE, re.MULTILINE)
    assert heads[:2] == ["What is protected", "Who could do harm"]
    assert heads[-1] == "What is left"
    for head in heads[2:-1]:
        part = PAGE.split(f"## {head}\n")[1].split("\n## ")[0]
        assert part.count("\n| ") >= 5, head
    assert len(THREATS) >= 30


@pytest.mark.parametrize("folder", ["faults", "hostile", "security"])
def test_every_file_of_tests_against_harm_stands_for_a_threat(folder):
    for file in sorted((TESTS / folder).glob("test_*.py")):
        assert f"`{folder}/{file.name}" in PAGE or file.name == Path(__file__).name, file.name
