"""The application starts quickly, and not at all with a broken ruleset."""

import subprocess
import sys
from pathlib import Path

MEASURE = """
import time
import changeout.wsgi
print(time.process_time())
"""


def test_loading_the_application_takes_less_than_a_second():
    # Seconds of the processor, the interpreter's own start included, the least of three: others may be using it too.
    times = [
        float(subprocess.run([sys.executable, "-c", MEASURE], capture_output=True, check=True).stdout) for _ in range(3)
    ]
    assert min(times) < 1.0, times


def test_serving_loads_neither_the_client_nor_a_test_tool():
    code = (
        "import changeout.wsgi, sys; print([m for m in ('requests', 'schemathesis', 'jsonschema') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "[]"


def test_a_broken_local_ruleset_is_named_and_nothing_starts(tmp_path: Path):
    (tmp_path / "local.toml").write_text('[jurisdiction]\nid = "x"\nname = 3\nodd = true\n')
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "changeout",
            "serve",
            "--bind",
            "127.0.0.1:0",
            "--jurisdictions",
            str(tmp_path),
        ],
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert done.returncode == 2
    assert "local.toml" in done.stderr
    assert "Traceback" not in done.stderr
    assert "Listening" not in done.stderr
