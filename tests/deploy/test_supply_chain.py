"""What is installed: pinned with hashes, listed with its licence, and told as a CycloneDX document."""

import json
import re
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
LOCK = (ROOT / "requirements.lock").read_text("utf-8")
LOCKED = dict(re.findall(r"^([a-z0-9._-]+)==(\S+)", LOCK, re.MULTILINE))
LISTED = dict(
    re.findall(r"^\| ([\w.-]+) \| ([\w. -]+) \|$", (ROOT / "deploy/LICENCES.md").read_text("utf-8"), re.MULTILINE)
)
LISTED = {name: licence for name, licence in LISTED.items() if name != "package"}
TAKEN = {"MIT", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "PSF-2.0", "MPL-2.0", "ISC"}
"""Licences under which a package may be installed beside the service."""


def needed_by(*names):
    """Return a package and all that it needs, as installed."""
    found, open_ = set(), [canonicalize_name(name) for name in names]
    while open_:
        name = open_.pop()
        if name not in found:
            found.add(name)
            wanted = [Requirement(text) for text in metadata.requires(name) or []]
            open_ += [canonicalize_name(r.name) for r in wanted if r.marker is None or r.marker.evaluate({"extra": ""})]
    return found


def test_every_package_is_pinned_with_hashes():
    blocks = re.split(r"^(?=[a-z0-9])", LOCK, flags=re.MULTILINE)[1:]
    assert len(blocks) == len(LOCKED) > 20
    for block in blocks:
        assert re.match(r"[a-z0-9._-]+==\S+ \\\n +--hash=sha256:[0-9a-f]{64}", block), block[:60]


def test_what_the_service_needs_is_locked_and_nothing_else():
    direct = [Requirement(text) for text in metadata.requires("changeout") or []]
    direct = [r for r in direct if r.marker is None or r.marker.evaluate({"extra": ""})]
    for requirement in direct:
        assert requirement.specifier.contains(LOCKED[canonicalize_name(requirement.name)]), requirement
        assert "<" in str(requirement.specifier), f"{requirement} is open upwards"
    extras = needed_by("limits", "opentelemetry-sdk", "opentelemetry-exporter-otlp-proto-http")
    assert set(LOCKED) <= needed_by(*(r.name for r in direct)) | extras


def test_every_package_is_listed_with_a_licence_that_may_be():
    extras = needed_by("limits", "opentelemetry-sdk", "opentelemetry-exporter-otlp-proto-http")
    assert set(LISTED) >= set(LOCKED)
    assert set(LISTED) == set(LOCKED) | extras
    for name, licence in LISTED.items():
        assert set(re.split(r" (?:AND|OR) ", licence)) <= TAKEN, name


WORDS = {
    "MIT": "MIT", "BSD-3-Clause": "BSD", "BSD-2-Clause": "BSD", "Apache-2.0": "Apache", "PSF-2.0": "PSF", "MPL-2.0": "MPL",
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(LISTED))
def test_the_licence_is_the_one_that_the_package_declares(name):
    told = metadata.metadata(name)
    declared = " ".join(
        [told.get("License-Expression") or "", told.get("License") or ""]
        + [line for line in told.get_all("Classifier") or [] if line.startswith("License")]
    )
    for part in re.split(r" (?:AND|OR) ", LISTED[name]):
        assert WORDS[part] in declared, declared


def test_the_bill_of_materials_is_whole_and_valid():
    done = subprocess.run(
        [str(ROOT / "deploy/sbom.sh")],
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": f"{Path(sys.executable).parent}:/usr/bin:/bin"},
    )
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(done.stdout) is None
    bill = json.loads(done.stdout)
    assert bill["bomFormat"] == "CycloneDX"
    assert bill["metadata"]["component"]["name"] == "changeout"
    assert {c["name"]: c["version"] for c in bill["components"]} == LOCKED
    for component in bill["components"]:
        assert component["purl"] == f"pkg:pypi/{component['name']}@{component['version']}"
        hashes = [h for reference in component["externalReferences"] for h in reference.get("hashes", [])]
        assert {h["alg"] for h in hashes} == {"SHA-256"}
