#!/bin/sh
# Writes what the image is made of, with hashes, as a CycloneDX document in JSON to standard output.
# Needs cyclonedx-bom (in the extra "test"). Run where requirements.lock stands.
set -eu
cd "$(dirname "$0")/.."
exec cyclonedx-py requirements --pyproject pyproject.toml --output-format JSON --output-reproducible requirements.lock
