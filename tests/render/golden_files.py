"""Whole renderings of the sample report, kept as files to show what a change does to them.

Run ``PYTHONPATH=tests python tests/render/golden_files.py`` to write them anew, then read the difference.
"""

import json
import sys
from pathlib import Path

from changeout import __version__
from changeout.render.html import report_html
from changeout.render.junit import junit_bytes
from changeout.render.located import LocatedReport
from changeout.render.markdown import report_markdown
from changeout.render.sarif import sarif_object
from render.sample_report import whole_report

FOLDER = Path(__file__).parent / "golden"


def renderings():
    """Each rendering by the name of its file."""
    report = whole_report()
    located = [LocatedReport(report=report, file="proposals/house 1.json")]
    made = {
        "report.md": report_markdown(report),
        "report.html": report_html(report, style_address="style.css"),
        "report.sarif": json.dumps(sarif_object(located, all_results=True), indent=1, ensure_ascii=False) + "\n",
        "report.xml": junit_bytes(located).decode(),
    }
    return {name: text.replace(__version__, "ENGINE") for name, text in made.items()}


if __name__ == "__main__":
    for name, text in renderings().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
    sys.stdout.write(f"{len(renderings())} files written\n")
