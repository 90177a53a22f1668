"""The steps of the Containerfile, done natively: a wheel, an environment of its own, and the service without a network."""

import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONTAINERFILE = (ROOT / "deploy/Containerfile").read_text("utf-8")
PROPOSAL = ROOT / "fixtures/proposals/dwelling-close-to-transformer.json"
ALONE = ("unshare", "--net", "--map-root-user")


def run(*command, **options):
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False, **options)
    assert done.returncode == 0, f"{command}\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Build a wheel of what the Containerfile copies, and of nothing else."""
    source, wheels = tmp_path_factory.mktemp("src"), tmp_path_factory.mktemp("wheels")
    for files, target in re.findall(r"^COPY (?!--from|requirements)(.+) (\S+)$", CONTAINERFILE, re.MULTILINE):
        for name in files.split():
            place = source / target / (Path(name).name if target == "./" else "")
            if (ROOT / name).is_dir():
                kept = shutil.ignore_patterns("__pycache__", "*.egg-info")
                shutil.copytree(ROOT / name, source / target, symlinks=True, ignore=kept)
            else:
                shutil.copy(ROOT / name, place)
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--wheel-dir", wheels, ".", cwd=source)
    (built,) = wheels.iterdir()
    return built


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """Make an environment with the locked packages and the wheel; return its folder of programs."""
    folder = tmp_path_factory.mktemp("environment")
    run(sys.executable, "-m", "venv", folder)
    pip = (folder / "bin/python", "-m", "pip", "install", "-q", "--disable-pip-version-check")
    assert "--require-hashes --requirement /tmp/requirements.lock" in CONTAINERFILE
    run(*pip, "--require-hashes", "--requirement", ROOT / "requirements.lock")
    assert "--no-deps /wheels/*.whl" in CONTAINERFILE
    run(*pip, "--no-deps", "--no-index", wheel)
    return folder / "bin"


@pytest.fixture
def bare(tmp_path):
    """Return an environment that knows nothing of this project."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "CHANGEOUT_", "PROMETHEUS_", "COV_"))}
    return {"env": {**kept, "PATH": "/usr/bin:/bin"}, "cwd": tmp_path}


def test_the_wheel_has_all_data_and_nothing_else(wheel):
    package = ROOT / "service/changeout"
    own = {
        f"changeout/{p.relative_to(package)}"
        for p in package.rglob("*")
        if p.is_file() and "__pycache__" not in p.parts
    }
    with zipfile.ZipFile(wheel) as opened:
        names = set(opened.namelist())
        packed = {name for name in names if ".dist-info/" not in name}
        assert packed == own
        assert any(name.endswith("licenses/LICENSE") for name in names)
        # Examples are links in the source and files in the wheel.
        for name in packed:
            if name.startswith("changeout/examples/") and name.endswith(".json"):
                assert json.loads(opened.read(name))["changeout"] == 1
    assert re.fullmatch(r"changeout-[\d.]+\w*-py3-none-any\.whl", wheel.name)


def test_it_judges_without_a_network_as_the_source_does(installed, bare):
    there = run(*ALONE, installed / "changeout", "check", "--format", "json", "--fail-on", "never", PROPOSAL, **bare)
    here = run(sys.executable, "-m", "changeout", "check", "--format", "json", "--fail-on", "never", PROPOSAL)
    assert json.loads(there)["changeout_report"] == 1
    assert there == here


def test_it_has_every_edition_rule_document_and_page_without_a_network(installed, bare):
    code = """
import json, pathlib, sys
import changeout
from changeout.application.documents import DOCUMENTS
from changeout.application.service import Service
from changeout.web.app import create_app
from changeout.web.pages import assets, titles
from changeout.web.settings import Settings

service = Service.load()
client = create_app(Settings(), service).test_client()
paths = ["/docs", "/openapi.json", "/review", "/metrics", "/readyz", "/v1/schemas/proposal", "/v1/schemas/report"]
paths += [f"/docs/{name}" for name in titles() if name] + [f"/docs/assets/{name}" for name in assets()]
paths += [f"/v1/editions/{edition}" for edition in service.editions()]
paths += [f"/v1/editions/{e}/rules/{rule}" for e, r in service.rulesets.items() for rule in r.rules]
paths += [f"/v1/jurisdictions/{name}" for name in service.jurisdictions_by_id]
for path in paths:
    assert client.get(path).status_code == 200, path
for name in service.examples():
    body = client.get(f"/v1/examples/{name}").data
    assert client.post("/v1/validations", data=body, content_type="application/json").status_code == 200, name
    for kind in DOCUMENTS:
        assert client.post(f"/v1/documents/{kind}", data=body, content_type="application/json").status_code == 200
print(json.dumps({"digest": service.digest, "from": str(pathlib.Path(changeout.__file__).parent), "paths": len(paths)}))
"""
    there = json.loads(run(*ALONE, installed / "python", "-I", "-c", code, **bare))
    here = run(sys.executable, "-c", "from changeout.application.service import Service; print(Service.load().digest)")
    assert there["digest"] == here.strip()
    assert there["from"].startswith(str(installed.parent))
    assert there["paths"] > 400


def test_the_entry_point_of_the_image_starts_and_its_health_check_passes(installed, bare):
    (command,) = re.findall(r"^ENTRYPOINT (\[.*\])$", CONTAINERFILE, re.MULTILINE)
    (arguments,) = re.findall(r"^CMD (\[.*\])$", CONTAINERFILE, re.MULTILINE)
    (health,) = re.findall(r"HEALTHCHECK .*\\\n\s+CMD (\[.*\])$", CONTAINERFILE, re.MULTILINE)
    program, *rest = [*json.loads(command), *json.loads(arguments)]
    log = bare["cwd"] / "log"
    # In a network of its own, so that the port of the image is free there.
    check = f'{installed}/python -c "$HEALTH"'
    script = f"""
"$@" &
served=$!
for _ in $(seq 300); do {check} 2>/dev/null && break; sleep 0.2; done
{check}; passed=$?
kill -TERM $served; wait $served && exit $passed
"""
    environment = {**bare["env"], "HEALTH": _up() + json.loads(health)[2]}
    with log.open("wb") as out:
        done = subprocess.run(
            [*ALONE, "sh", "-c", script, "sh", str(installed / program), *rest],
            stdout=out,
            stderr=out,
            env=environment,
            cwd=bare["cwd"],
            timeout=180,
            check=False,
        )
    assert done.returncode == 0, log.read_text()


def _up():
    """Return code that brings the loopback interface up, which it is not in a new network (netdevice(7))."""
    return (
        "import fcntl, socket, struct; s = socket.socket(); "
        "fcntl.ioctl(s, 0x8914, struct.pack('16sH14s', b'lo', 0x1 | 0x40, b'')); "
    )
