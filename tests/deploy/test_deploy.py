"""What stands in deploy/: manifests against the Kubernetes schemas, the unit by systemd, the site by nginx itself."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import kubernetes_validate
import pytest
import yaml

from changeout.web.app import create_app
from changeout.web.settings import Settings

DEPLOY = Path(__file__).parents[2] / "deploy"
MANIFESTS = [p for p in sorted((DEPLOY / "kubernetes").rglob("*.yaml")) if p.name != "kustomization.yaml"]
WHOLE = [p for p in MANIFESTS if "overlays" not in p.parts]


def documents(path):
    return [d for d in yaml.safe_load_all(path.read_text("utf-8")) if d]


@pytest.mark.parametrize("path", WHOLE, ids=lambda p: p.name)
def test_a_manifest_is_what_kubernetes_takes(path):
    for document in documents(path):
        kubernetes_validate.validate(document, "1.31", strict=True)


def merged(base, patch):
    if not isinstance(base, dict) or not isinstance(patch, dict):
        return patch
    return {**base, **{k: merged(base.get(k), v) for k, v in patch.items()}}


@pytest.mark.parametrize("path", [p for p in MANIFESTS if "overlays" in p.parts], ids=lambda p: p.name)
def test_an_overlay_patches_what_the_base_has_into_what_kubernetes_takes(path):
    (patch,) = documents(path)
    (base,) = [
        d
        for p in WHOLE
        for d in documents(p)
        if (d["kind"], d["metadata"]["name"]) == (patch["kind"], patch["metadata"]["name"])
    ]
    kubernetes_validate.validate(merged(base, patch), "1.31", strict=True)


@pytest.mark.parametrize(
    "path", sorted((DEPLOY / "kubernetes").rglob("kustomization.yaml")), ids=lambda p: p.parent.name
)
def test_a_kustomization_names_files_that_exist(path):
    (document,) = documents(path)
    names = document.get("resources", []) + [p["path"] for p in document.get("patches", [])]
    assert names
    assert [n for n in names if not (path.parent / n).exists()] == []


def test_containers_run_without_privileges_on_a_read_only_root():
    (deployment,) = documents(DEPLOY / "kubernetes/base/deployment.yaml")
    pod = deployment["spec"]["template"]["spec"]
    assert pod["securityContext"]["runAsNonRoot"] is True
    for container in pod["containers"]:
        context = container["securityContext"]
        assert context["readOnlyRootFilesystem"] is True
        assert context["allowPrivilegeEscalation"] is False
        assert context["capabilities"]["drop"] == ["ALL"]
        assert set(container["resources"]) == {"requests", "limits"}


def test_the_unit_is_one_that_systemd_takes(tmp_path):
    analyze = shutil.which("systemd-analyze")
    assert analyze, "systemd-analyze is needed"
    unit = (DEPLOY / "changeout.service").read_text("utf-8").replace("/opt/changeout/bin/changeout", "/bin/true")
    (tmp_path / "changeout.service").write_text(unit, "utf-8")
    done = subprocess.run(
        [analyze, "verify", "--man=no", str(tmp_path / "changeout.service")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert "changeout.service" not in done.stderr, done.stderr


def test_the_site_is_one_that_nginx_takes(tmp_path):
    nginx = shutil.which("nginx") or "/usr/sbin/nginx"
    main = tmp_path / "nginx.conf"
    site = (DEPLOY / "nginx.conf").read_text("utf-8").replace("listen 80;", "listen 127.0.0.1:18089;")
    main.write_text(
        f"pid {tmp_path}/pid;\nerror_log stderr;\nevents {{}}\nhttp {{\naccess_log off;\n{site}\n}}\n", "utf-8"
    )
    done = subprocess.run([nginx, "-t", "-c", str(main)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_alerts_and_dashboard_speak_of_meters_that_exist():
    meters = create_app(Settings()).test_client().get("/metrics").get_data(as_text=True)
    known = set(re.findall(r"^# HELP (\w+)", meters, re.MULTILINE))
    rules = yaml.safe_load((DEPLOY / "monitoring/rules.yaml").read_text("utf-8"))
    dashboard = json.loads((DEPLOY / "monitoring/dashboard.json").read_text("utf-8"))
    expressions = [r["expr"] for g in rules["groups"] for r in g["rules"]]
    expressions += [t["expr"] for p in dashboard["panels"] for t in p["targets"]]
    used = {name for e in expressions for name in re.findall(r"changeout_\w+", e)}
    assert used
    assert {re.sub(r"_(bucket|sum|count)$", "", name) for name in used} <= known


def test_every_alert_names_an_entry_of_the_runbook():
    runbook = (DEPLOY / "RUNBOOK.md").read_text("utf-8")
    rules = yaml.safe_load((DEPLOY / "monitoring/rules.yaml").read_text("utf-8"))
    for rule in (r for g in rules["groups"] for r in g["rules"]):
        entry = re.search(r'RUNBOOK.md, "(.+)"', rule["annotations"]["runbook"]).group(1)
        assert f"**{entry}**" in runbook


def test_the_containerfile_pins_hashes_and_leaves_root():
    text = (DEPLOY / "Containerfile").read_text("utf-8")
    assert "--require-hashes" in text
    assert text.index("USER 10001") < text.index("ENTRYPOINT")
    assert "HEALTHCHECK" in text
    for line in re.findall(r"^COPY (?!--from)(.+) \S+$", text, re.MULTILINE):
        missing = [s for s in line.split() if not (DEPLOY.parent / s).exists()]
        assert missing in ([], ["requirements.lock"]), missing
