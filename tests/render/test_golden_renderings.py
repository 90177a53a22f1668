"""Whole renderings as they were when somebody last read them."""

import pytest

from render.golden_files import FOLDER, renderings


@pytest.mark.parametrize("name", ["report.md", "report.html", "report.sarif", "report.xml"])
def test_a_rendering_is_as_it_was_read(name):
    assert renderings()[name] == (FOLDER / name).read_text("utf-8")
