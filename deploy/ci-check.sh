#!/bin/sh
# A step for any CI: judges every proposal in a folder and below, and leaves the reports for the CI to show:
#   reports/changeout.ndjson  one JSON report a line, in the order of the files
#   reports/changeout.sarif   for what shows SARIF beside the lines of a file
#   reports/changeout.xml     for what shows JUnit
# FAIL_ON: violation (unless set), undetermined, never. BASELINE: former reports, on which nothing fails.
# Exit status: 0 nothing to fail on, 1 findings to fail on, 2 a file could not be read.
set -eu
folder=${1:-proposals}
mkdir -p reports
set -- "$folder" --jobs "${JOBS:-2}"
# A file that cannot be read is told of by the last run, which decides.
for form in json:ndjson sarif:sarif junit:xml; do
    changeout check "$@" --fail-on never --format "${form%:*}" > "reports/changeout.${form#*:}" 2> /dev/null || true
done
if [ -n "${BASELINE:-}" ]; then
    set -- "$@" --baseline "$BASELINE"
fi
exec changeout check "$@" --fail-on "${FAIL_ON:-violation}"
