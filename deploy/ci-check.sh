#!/bin/sh
# A generic CI step: judges every proposal of a folder and leaves the reports, one JSON line a file.
# Exit status: 0 nothing to fail on, 1 findings to fail on, 2 a file could not be read.
set -eu
folder=${1:-proposals}
mkdir -p reports
changeout check --format json --fail-on never "$folder"/*.json > reports/changeout.ndjson
exec changeout check --fail-on "${FAIL_ON:-violation}" "$folder"/*.json
