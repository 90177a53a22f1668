"""Test files have names of their own: without packages pytest tells modules apart by nothing else."""

from collections import Counter
from pathlib import Path


def test_no_two_test_files_have_one_name():
    names = Counter(path.name for path in Path(__file__).parents[1].rglob("test_*.py"))
    assert [name for name, times in names.items() if times > 1] == []
