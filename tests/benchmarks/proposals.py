"""The proposals that the benchmarks judge: a dwelling in many variants, and panelboards of any number of circuits."""

from __future__ import annotations

import copy
import json
from typing import Any

from changeout.application.service import Service

CIRCUITS = 30

# serves, use, outlet, amperes, size, load, outlets
MORE = (
    ("freezer in the basement", "basement", "receptacle", 20, "12 AWG", "500 VA", 1),
    ("guest bathroom", "bathroom", "receptacle", 20, "12 AWG", "1200 VA", 2),
    ("attic bedroom", "bedroom", "receptacle", 15, "14 AWG", "800 VA", 6),
    ("garden lights", "outdoors", "lighting", 15, "14 AWG", "300 VA", 4),
    ("garage door", "garage", "receptacle", 20, "12 AWG", "700 VA", 1),
    ("dining room", "living", "receptacle", 15, "14 AWG", "900 VA", 7),
    ("kitchen lights", "kitchen", "lighting", 15, "14 AWG", "400 VA", 5),
    ("sewing room", "living", "receptacle", 20, "12 AWG", "1000 VA", 5),
    ("microwave oven", "kitchen", "receptacle", 20, "12 AWG", "1500 VA", 1),
    ("roof receptacle by the slip", "outdoors", "receptacle", 20, "12 AWG", "500 VA", 1),
    ("bedroom lights upstairs", "bedroom", "lighting", 15, "14 AWG", "500 VA", 6),
)


def dwelling(service: Service, variant: int = 0, circuits: int = CIRCUITS) -> dict[str, Any]:
    """A complete proposal for a house that conforms; each variant says something else, none moves a verdict."""
    document = json.loads(service.example("dwelling-service"))
    board = document["panelboard"]
    board["marked_maximum_poles"] = 84
    own = board["circuits"]
    template = next(circuit for circuit in own if circuit["use"] == "kitchen")
    for place, more in enumerate(MORE[: max(circuits - len(own), 0)]):
        own.append(_circuit(template, 25 + place, *more))
    del own[circuits:]
    for circuit in own:
        circuit["conductor"]["extended_by"] = f"{6 + (variant + circuit['number']) % 40} in"
        circuit["serves"] = f"{circuit['serves']}, plan {variant}"
    document["supply"]["runs"][0]["length"] = f"{65 + variant % 50} ft"
    document["load"]["floor_area"] = f"{1500 + variant % 400} ft2"
    document["project"]["reference"] = f"house {variant}"
    return document


def _circuit(template: dict[str, Any], number: int, *said: Any) -> dict[str, Any]:
    serves, use, outlet, amperes, size, load, outlets = said
    circuit = copy.deepcopy(template)
    circuit |= {"number": number, "serves": serves, "use": use, "outlet": outlet, "load": load, "outlets": outlets}
    circuit["breaker"]["rating"] = f"{amperes} A"
    circuit["conductor"]["size"] = size
    return circuit


def dwellings(service: Service, number: int) -> list[bytes]:
    """Bodies of so many variants."""
    return [json.dumps(dwelling(service, variant)).encode() for variant in range(number)]


def of_circuits(service: Service, circuits: int) -> bytes:
    """A body of that many circuits without numbers, no two with the same description, as short as can be written."""
    document = dwelling(service)
    board = document["panelboard"]
    templates = board["circuits"]
    for template in templates:
        del template["number"], template["load"]
    board["circuits"] = [{**templates[index % len(templates)], "serves": f"area {index}"} for index in range(circuits)]
    return json.dumps(document, separators=(",", ":")).encode()
