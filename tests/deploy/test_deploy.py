"""What stands in deploy/: manifests against the Kubernetes schemas, the unit by systemd, the site by nginx itself."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import kubernetes_validate
import promql_parser
import pytest
import yaml
from grafana_foundation_sdk.models.dashboard import Dashboard

from changeout.application.service import Service
from changeout.cli import gunicorn_settings
from changeout.web.app import create_app
from changeout.web.settings import Settings

DEPLOY = Path(__file__).parents[2] / "deploy"
KUBERNETES = DEPLOY / "kubernetes"
OVERLAYS = sorted(p.parent for p in (KUBERNETES / "overlays").glob("*/kustomization.yaml"))


def documents(path):
    return [d for d in yaml.safe_load_all(path.read_text("utf-8")) if d]


def merged(base, patch):
    """Merge as a strategic merge does: objects by member, lists of named objects by name, anything else replaced."""
    if isinstance(base, dict) and isinstance(patch, dict):
        return {**base, **{k: merged(base.get(k), v) for k, v in patch.items()}}
    if isinstance(base, list) and isinstance(patch, list) and all(isinstance(x, dict) and "name" in x for x in patch):
        patched = {x["name"]: x for x in patch}
        kept = [merged(x, patched.pop(x["name"], {})) for x in base]
        return kept + list(patched.values())
    return patch


def key_of(document):
    return document["kind"], document["metadata"]["name"]


def built(folder):
    """Return what a folder makes: resources, then patches, then config maps of files and literals."""
    (kustomization,) = documents(folder / "kustomization.yaml")
    known = {"apiVersion", "kind", "namespace", "resources", "patches", "configMapGenerator"}
    assert set(kustomization) <= known
    found = {}
    for name in kustomization["resources"]:
        place = folder / name
        for document in built(place).values() if place.is_dir() else documents(place):
            assert key_of(document) not in found
            found[key_of(document)] = document
    for patch in kustomization.get("patches", []):
        for document in documents(folder / patch["path"]):
            found[key_of(document)] = merged(found[key_of(document)], document)
    for generator in kustomization.get("configMapGenerator", []):
        key = ("ConfigMap", generator["name"])
        assert (key in found) == (generator.get("behavior") == "merge")
        data = dict(found[key]["data"]) if key in found else {}
        data |= dict(literal.split("=", 1) for literal in generator.get("literals", []))
        data |= {Path(file).name: (folder / file).read_text("utf-8") for file in generator.get("files", [])}
        found[key] = {"apiVersion": "v1", "kind": "ConfigMap", "metadata": {"name": key[1]}, "data": data}
    return found


def deployment_of(folder):
    return built(folder)["Deployment", "changeout"]


def test_there_are_a_base_and_two_overlays():
    assert [p.name for p in OVERLAYS] == ["city", "state"]


@pytest.mark.parametrize("folder", [KUBERNETES / "base", *OVERLAYS], ids=lambda p: p.name)
def test_what_it_makes_is_what_kubernetes_takes(folder):
    made = built(folder)
    for document in made.values():
        kubernetes_validate.validate(document, "1.31", strict=True)
    kinds = {kind for kind, _ in made}
    assert kinds == {
        "Namespace", "Deployment", "Service", "Ingress", "HorizontalPodAutoscaler", "PodDisruptionBudget",
        "NetworkPolicy", "ConfigMap",
    }  # fmt: skip


@pytest.mark.parametrize("folder", OVERLAYS, ids=lambda p: p.name)
def test_an_overlay_changes_something(folder):
    assert built(folder) != built(KUBERNETES / "base")


@pytest.mark.parametrize("folder", OVERLAYS, ids=lambda p: p.name)
def test_containers_run_without_privileges_on_a_read_only_root(folder):
    pod = deployment_of(folder)["spec"]["template"]["spec"]
    assert pod["securityContext"]["runAsNonRoot"] is True
    assert pod["securityContext"]["runAsUser"] > 1000
    assert pod["securityContext"]["seccompProfile"] == {"type": "RuntimeDefault"}
    assert pod["automountServiceAccountToken"] is False
    assert (
        built(folder)["Namespace", "changeout"]["metadata"]["labels"]["pod-security.kubernetes.io/enforce"]
        == "restricted"
    )
    for container in pod["containers"]:
        context = container["securityContext"]
        assert context["readOnlyRootFilesystem"] is True
        assert context["allowPrivilegeEscalation"] is False
        assert context["capabilities"]["drop"] == ["ALL"]
        for bound in ("requests", "limits"):
            assert set(container["resources"][bound]) == {"cpu", "memory", "ephemeral-storage"}
        assert {"livenessProbe", "readinessProbe"} <= set(container)


def test_the_service_is_probed_itself_and_an_instance_ends_within_its_time():
    pod = deployment_of(KUBERNETES / "base")["spec"]["template"]["spec"]
    app, proxy = pod["containers"]
    port = {"name": "app", "containerPort": 8080}
    assert port in app["ports"]
    assert "0.0.0.0:8080" in app["args"]
    for probe, path in (("startupProbe", "/readyz"), ("livenessProbe", "/livez"), ("readinessProbe", "/readyz")):
        assert app[probe]["httpGet"] == {"path": path, "port": "app"}
    assert proxy["readinessProbe"]["httpGet"] == {"path": "/readyz", "port": "http"}
    # First nobody is sent here any more, then what is under way is answered.
    slept = {int(c["lifecycle"]["preStop"]["exec"]["command"][1]) for c in pod["containers"]}
    assert slept == {5}
    assert pod["terminationGracePeriodSeconds"] > 5 + gunicorn_settings.graceful_timeout


def test_a_roll_out_takes_no_instance_away_before_another_is_ready():
    spec = deployment_of(KUBERNETES / "base")["spec"]
    assert spec["strategy"] == {"type": "RollingUpdate", "rollingUpdate": {"maxUnavailable": 0, "maxSurge": 1}}
    assert spec["replicas"] >= 2


@pytest.mark.parametrize("folder", OVERLAYS, ids=lambda p: p.name)
def test_names_lead_to_what_there_is(folder):
    made = built(folder)
    pod = made["Deployment", "changeout"]["spec"]["template"]
    maps = {v["configMap"]["name"] for v in pod["spec"]["volumes"] if "configMap" in v}
    assert maps == {name for kind, name in made if kind == "ConfigMap"}
    volumes = {v["name"] for v in pod["spec"]["volumes"]}
    assert {m["name"] for c in pod["spec"]["containers"] for m in c["volumeMounts"]} == volumes
    labels = pod["metadata"]["labels"]
    assert made["Service", "changeout"]["spec"]["selector"] == labels
    assert made["PodDisruptionBudget", "changeout"]["spec"]["selector"]["matchLabels"] == labels
    assert made["NetworkPolicy", "changeout"]["spec"]["podSelector"]["matchLabels"] == labels
    ports = {p["name"]: p["containerPort"] for c in pod["spec"]["containers"] for p in c["ports"]}
    (service,) = made["Service", "changeout"]["spec"]["ports"]
    assert ports[service["targetPort"]] == 8081
    target = made["HorizontalPodAutoscaler", "changeout"]["spec"]["scaleTargetRef"]
    assert (target["kind"], target["name"]) == ("Deployment", "changeout")


def test_nothing_goes_out_and_only_the_proxy_and_the_meters_are_reached():
    policy = built(KUBERNETES / "base")["NetworkPolicy", "changeout"]["spec"]
    assert policy["egress"] == []
    assert set(policy["policyTypes"]) == {"Ingress", "Egress"}
    reached = {
        (next(iter(r["from"][0]["namespaceSelector"]["matchLabels"])), r["ports"][0]["port"]) for r in policy["ingress"]
    }
    assert reached == {("changeout-client", 8081), ("changeout-meters", 8080)}


def test_rulesets_of_a_config_map_are_loaded(tmp_path):
    """As they are mounted: one file a key."""
    data = built(KUBERNETES / "overlays/city")["ConfigMap", "changeout-jurisdictions"]["data"]
    for name, text in data.items():
        (tmp_path / name).write_text(text, "utf-8")
    shipped, loaded = Service.load(), Service.load(tmp_path)
    assert set(loaded.jurisdictions_by_id) - set(shipped.jurisdictions_by_id) == {"limpet-row"}
    assert loaded.digest != shipped.digest


def test_the_settings_of_an_overlay_are_ones_that_the_service_takes():
    for folder in OVERLAYS:
        app = deployment_of(folder)["spec"]["template"]["spec"]["containers"][0]
        create_app(Settings.from_environment({e["name"]: e["value"] for e in app.get("env", [])}))


def directives(text):
    """Return the directives of an nginx site that are the same wherever it stands."""
    kept = ("proxy_next_upstream", "proxy_request_buffering", "proxy_buffering", "client_", "send_timeout", "proxy_read_timeout", "proxy_connect_timeout")  # fmt: skip
    return [line.strip() for line in text.splitlines() if line.strip().startswith(kept)]


def test_the_proxy_of_a_pod_is_that_of_a_host():
    pod = (KUBERNETES / "base/proxy/default.conf").read_text("utf-8")
    assert directives(pod) == directives((DEPLOY / "nginx.conf").read_text("utf-8"))
    assert "proxy_request_buffering on;" in pod


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


@pytest.mark.parametrize("site", ["nginx.conf", "kubernetes/base/proxy/default.conf"])
def test_the_site_is_one_that_nginx_takes(tmp_path, site):
    nginx = shutil.which("nginx") or "/usr/sbin/nginx"
    main = tmp_path / "nginx.conf"
    site = re.sub(r"listen \d+;", f"listen unix:{tmp_path}/socket;", (DEPLOY / site).read_text("utf-8"))
    main.write_text(
        f"pid {tmp_path}/pid;\nerror_log stderr;\nevents {{}}\nhttp {{\naccess_log off;\n{site}\n}}\n", "utf-8"
    )
    done = subprocess.run([nginx, "-t", "-c", str(main)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def expressions():
    rules = yaml.safe_load((DEPLOY / "monitoring/rules.yaml").read_text("utf-8"))
    dashboard = json.loads((DEPLOY / "monitoring/dashboard.json").read_text("utf-8"))
    found = [r["expr"] for g in rules["groups"] for r in g["rules"]]
    return found + [t["expr"] for p in dashboard["panels"] for t in p["targets"]]


def test_alerts_and_dashboard_speak_of_meters_and_labels_that_exist():
    app = create_app(Settings())
    client = app.test_client()
    for example in ("dwelling-service", "half-known-dwelling"):
        proposal = client.get(f"/v1/examples/{example}").data
        client.post("/v1/validations", data=proposal, content_type="application/json")
    client.post("/v1/validations", data=b"{", content_type="application/json")
    meters = client.get("/metrics").get_data(as_text=True)
    labels = {
        re.sub(r"_(bucket|sum|count|total|created)$", "", name): set(re.findall(r'(\w+)="', inside)) - {"le"}
        for name, inside in re.findall(r"^(changeout_\w+)\{(.*)\}", meters, re.MULTILINE)
    }
    told = set()
    for expression in expressions():
        promql_parser.parse(expression)
        for name, chosen in re.findall(
            r"(changeout_\w+?)(?:_total|_bucket|_sum|_count)?\b(?:\{([^}]*)\})?", expression
        ):
            told.add(name)
            assert set(re.findall(r"(\w+)\s*(?:=~|!=|=)", chosen)) <= labels[name], expression
        (names,) = {
            tuple(sorted(labels[n]))
            for n in re.findall(r"(changeout_\w+?)(?:_total|_bucket|_sum|_count)?\b", expression)
        }
        for grouped in re.findall(r"by \(([^)]*)\)", expression):
            assert set(re.split(r",\s*", grouped)) <= {*names, "le"}, expression
    assert told == set(labels)


def test_the_rules_are_of_the_form_that_the_server_takes():
    rules = yaml.safe_load((DEPLOY / "monitoring/rules.yaml").read_text("utf-8"))
    assert set(rules) == {"groups"}
    for group in rules["groups"]:
        assert set(group) == {"name", "rules"}
        names = [rule["alert"] for rule in group["rules"]]
        assert len(names) == len(set(names))
        for rule in group["rules"]:
            assert set(rule) == {"alert", "expr", "for", "labels", "annotations"}
            assert re.fullmatch(r"\d+[smh]", rule["for"])
            assert rule["labels"]["severity"] in {"page", "ticket"}


def test_the_dashboard_is_one_that_its_own_models_take():
    whole = json.loads((DEPLOY / "monitoring/dashboard.json").read_text("utf-8"))
    read = Dashboard.from_json(whole).to_json()
    assert (read["title"], read["uid"]) == ("changeout", "changeout")
    assert len(read["panels"]) == len(whole["panels"]) == len({p["id"] for p in whole["panels"]})
    places = [(p["gridPos"]["x"], p["gridPos"]["y"]) for p in whole["panels"]]
    assert len(set(places)) == len(places)


def test_every_alert_names_an_entry_of_the_runbook():
    runbook = (DEPLOY / "RUNBOOK.md").read_text("utf-8")
    rules = yaml.safe_load((DEPLOY / "monitoring/rules.yaml").read_text("utf-8"))
    for rule in (r for g in rules["groups"] for r in g["rules"]):
        entry = re.search(r'RUNBOOK.md, "(.+)"', rule["annotations"]["runbook"]).group(1)
        assert f"**{entry}**" in runbook


def test_the_containerfile_satisfies_its_linter():
    done = subprocess.run(
        [str(Path(sys.executable).parent / "hadolint"), str(DEPLOY / "Containerfile")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, ""), done.stdout + done.stderr


def test_the_containerfile_pins_hashes_and_leaves_root():
    text = (DEPLOY / "Containerfile").read_text("utf-8")
    assert "--require-hashes" in text
    assert text.index("USER 10001") < text.index("ENTRYPOINT")
    assert "HEALTHCHECK" in text
    for line in re.findall(r"^COPY (?!--from)(.+) \S+$", text, re.MULTILINE):
        missing = [s for s in line.split() if not (DEPLOY.parent / s).exists()]
        assert missing in ([], ["requirements.lock"]), missing
