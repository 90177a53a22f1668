"""The page of figures, from what ``run.py --json`` kept: ``python tests/benchmarks/page.py > …/docs/speed.md``."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

FIGURES = Path(__file__).with_name("figures.json")

WHY = {
    "rate": "a validation asks 126 rules, those on circuits of every circuit, and each answer names what it rests on; "
    "parsing and serialising is a tenth of that",
}
"""Why a figure falls short of its aim, where that is known."""


def page(kept: dict[str, Any]) -> str:
    """The page, in Markdown."""
    rows = "\n".join(
        f"| {row['name']} | {_value(row)} | {row['aim']} | {row['said']}{_why(row)} |" for row in kept["figures"]
    )
    beside = "\n\n".join(f"**{row['id']}**: {_beside(row['beside'])}." for row in kept["figures"] if row["beside"])
    return f"""\
# Speed

Written by `python tests/benchmarks/page.py` from `tests/benchmarks/figures.json`; a test compares them.

Measured on {kept["date"]}, engine {kept["engine"]}: {kept["machine"]}. The load average was
{kept["load_average"]:g} when it began: what is of the clock would be less on a machine that does nothing else.

Measure your own machine with

```
python tests/benchmarks/run.py --json figures.json
```

Aims are ratios of two things measured in turns in the same run, wherever that is possible, since the speed of a
machine moves from minute to minute. Times and rates are of the processor, so that other work on the machine hardly
counts, but for the start, --jobs and how even answers are: there they are of the clock. A figure that falls short of its aim says so.

| what | figure | aim | |
|---|---|---|---|
{rows}

## What was measured

The dwelling is complete and conforms; requests differ in lengths, areas and descriptions. `jsonschema` checks the same bytes against the published schema. The plain view is a
Flask application under the same gunicorn settings that parses the same body and serialises a report made before. The
interface takes up to 200 circuits and 20,000 values; for the cost over circuits these limits are lifted. Nine of ten
proposals of the long run have three circuits; before it, 2,000 full ones are sent, 16 at once, so that the workers have
reached their size. The capacity sheet, `deploy/CAPACITY.md`, computes replicas for a load
from these figures.

{beside}
"""


def _value(row: dict[str, Any]) -> str:
    if row["value"] is None:
        return row["lacks"]
    return f"{row['value']:,g} {'times' if row['unit'] == 'x' else row['unit']}"


def _why(row: dict[str, Any]) -> str:
    why = WHY.get(row["id"])
    return f": {why}" if row["said"] == "short" and why else ""


def _beside(beside: dict[str, Any]) -> str:
    return "; ".join(
        f"{name}: {_beside(value)}" if isinstance(value, dict) else f"{name.replace('_', ' ')} {_shown(value)}"
        for name, value in beside.items()
    )


def _shown(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(_shown(one) for one in value)
    return f"{value:,}" if isinstance(value, int | float) else str(value)


if __name__ == "__main__":
    sys.stdout.write(page(json.loads(FIGURES.read_text())))
