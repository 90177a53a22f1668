"""Disks that are full or may not be written to: the service needs none to answer."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

from fault_load import ask, until, workers_of

from serving import serving

ALONE = ("unshare", "--mount", "--map-root-user")


def run_with(commands):
    """Return what runs a command in a view of the file systems that only it has, after these commands."""
    return (*ALONE, "sh", "-c", f'{commands}\nexec "$@"', "sh")


def meters(port):
    return ask(port, "/metrics", None).body.decode()


def test_a_full_disk_under_the_log_harms_no_answer(tmp_path):
    right = None
    with serving(tmp_path, "--workers", "2", out=Path("/dev/full")) as served:
        for _ in range(20):
            told = ask(served.port)
            assert told.status == 200
            right = right or told.body
            assert told.body == right
        assert ask(served.port, "/v1/validations", b"{").status == 400
        assert len(workers_of(served)) == 2
        # Said once, and what could not be logged is said nowhere else.
        assert served.err.read_text().count("The log cannot be written") <= 2
        assert "The log cannot be written" in served.err.read_text()
        assert "decision_id" not in served.err.read_text()


def test_a_full_disk_under_the_meters_ends_no_worker(tmp_path):
    folder = tmp_path / "small"
    folder.mkdir()
    small = run_with(f"mount -t tmpfs -o size=64k tmpfs {folder}")
    with serving(tmp_path, "--workers", "2", environment={"TMPDIR": str(folder)}, before=small) as served:
        until(lambda: len(workers_of(served)) == 2, "two workers")
        workers = workers_of(served)
        for _ in range(30):
            assert ask(served.port).status == 200
        assert "changeout_validations_total" in meters(served.port)
        assert workers_of(served) == workers
        assert "No room for shared meters" in served.err.read_text()


def test_a_disk_that_fills_up_later_ends_no_worker(tmp_path):
    folder = tmp_path / "small"
    folder.mkdir()
    small = run_with(f"mount -t tmpfs -o size=4m tmpfs {folder}")
    with serving(tmp_path, "--workers", "2", environment={"TMPDIR": str(folder)}, before=small) as served:
        until(lambda: len(workers_of(served)) == 2, "two workers")
        assert ask(served.port).status == 200
        # The disk as the service sees it.
        seen = Path(f"/proc/{served.process.pid}/root{folder}")
        filled = os.open(seen / "fills", os.O_WRONLY | os.O_CREAT)
        try:
            while os.write(filled, bytes(4096)):
                pass
        except OSError:
            os.close(filled)
        workers = workers_of(served)
        for path in ("/v1/editions", "/v1/jurisdictions", "/v1/examples", "/docs", "/openapi.json", "/readyz"):
            assert ask(served.port, path, None).status == 200
        for edition in ("2017", "2020", "2023", "2026"):
            for _ in range(4):
                assert ask(served.port, f"/v1/validations?edition={edition}").status == 200
        assert meters(served.port).count("changeout_validations_total{") == 4
        assert workers_of(served) == workers
        # A worker that has to be replaced now finds no room, and answers all the same.
        os.kill(workers[0], signal.SIGKILL)
        until(lambda: workers_of(served) != workers and len(workers_of(served)) == 2, "a new worker")
        for _ in range(10):
            assert ask(served.port).status == 200


READ_ONLY = """
for place in $(cut -d' ' -f2 /proc/self/mounts | sort -u); do
  case $place in /proc*|/sys*|/dev/*) ;; *) mount -o remount,bind,ro "$place" 2>/dev/null || true ;; esac
done
! touch /tmp/x 2>/dev/null && ! touch "$PWD"/x 2>/dev/null || exit 9
"""


def test_a_read_only_file_system_is_all_it_needs(tmp_path):
    with serving(tmp_path, "--workers", "2", before=run_with(READ_ONLY)) as served:
        for _ in range(10):
            assert ask(served.port).status == 200
        told = ask(served.port, "/v1/documents/correction-letter", Accept="text/html")
        assert told.status == 200
        assert 'changeout_validations_total{edition="' in meters(served.port)
        assert "Error" not in served.err.read_text()


def test_where_nothing_at_all_can_be_written_it_says_so_and_does_not_start(tmp_path):
    nothing = READ_ONLY + "mount -o remount,bind,ro /dev/shm\n"
    done = subprocess.run(
        [*run_with(nothing), sys.executable, "-m", "changeout", "serve", "--bind", "127.0.0.1:0"],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        cwd=tmp_path,
    )
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr
    assert "/dev/shm" in done.stderr


def test_the_command_judges_on_a_read_only_file_system(tmp_path):
    (tmp_path / "proposal.json").write_bytes(
        (Path(__file__).parents[2] / "fixtures/proposals/shop-feeder.json").read_bytes()
    )
    done = subprocess.run(
        [*run_with(READ_ONLY), sys.executable, "-m", "changeout", "check", "--format", "json", "proposal.json"],
        capture_output=True,
        timeout=60,
        check=False,
        cwd=tmp_path,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert done.returncode in {0, 1}, done.stderr
    assert json.loads(done.stdout)["changeout_report"] == 1
