"""The application loads what it needs and no more, and does not start at all with a broken ruleset."""

import subprocess
import sys
from pathlib import Path


def said_by(code: str) -> str:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True).stdout.strip()


def test_serving_loads_neither_the_client_nor_a_test_tool():
    code = (
        "import changeout.wsgi, sys; print([m for m in ('requests', 'schemathesis', 'jsonschema') if m in sys.modules])"
    )
    assert said_by(code) == "[]"


def test_serving_does_without_numpy_which_pint_would_load_where_it_is_there():
    assert (
        said_by("import sys; sys.modules['numpy'] = None; import changeout.wsgi as w; print(w.app.name)")
        == "changeout.web"
    )


def test_no_page_of_the_documentation_is_made_before_it_is_asked_for():
    made = "import changeout.wsgi; from changeout.web.pages import page; print(page.cache_info().currsize)"
    assert said_by(made) == "0"


def test_what_was_loaded_is_never_looked_through_for_garbage():
    state = "import gc, changeout.wsgi; print(gc.isenabled(), gc.get_freeze_count() > 50_000, gc.get_threshold()[0])"
    assert said_by(state) == "True True 50000"


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
