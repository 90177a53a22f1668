"""Which members are worth asking for only under a condition, object by object; the others always are.

A condition leaves a member out only where no rule of any edition would miss it. What an object's kind bars
(``Record.kinds``) is not repeated here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from changeout.domain.vocabulary import SYSTEMS
from changeout.intake.conditions import Condition, unless, unless_no, unless_without, unless_yes, when_said

Conditions = Mapping[str, tuple[Condition, ...]]

_NO_SERVICE: Final = unless("/panelboard/role", "feeder")
_NO_FEEDER: Final = unless("/panelboard/role", "service")
_NO_LUGS: Final = unless("kind", "lugs")
_HIGH_LEG: Final = unless("/supply/system", *(system for system in SYSTEMS if not system.endswith("-high-leg")))

CONDITIONS: Final[Mapping[str, Conditions]] = {
    "Project": {
        "permit_issued_on": (when_said("jurisdiction"),),
        "work_started_on": (when_said("jurisdiction"),),
    },
    "Supply": {
        "motor_multiplier": (when_said("motor_full_load_current"),),
        "building": (unless_no("separate_building"),),
        "tap_rule": (unless_no("tap"),),
        "tap_length": (unless_no("tap"),),
        "upsized_from": (unless_no("conductors_upsized"),),
    },
    "Source": {"bank": (unless("/supply/system", "120/240V-1ph-3w", "120/208V-1ph-3w"),)},
    "Upstream": {
        "value": (unless("kind", "unlimited"),),
        "x_over_r": (unless("kind", "unlimited"),),
    },
    "OvercurrentDevice": {"position": (when_said("/supply/separately_derived"),)},
    "Panelboard": {
        "identification_basis": (unless_no("identified_for_application"),),
        "identification_document": (unless_no("identified_for_application"),),
        "series_rating": (unless("rating_basis", "fully-rated"),),
        "marked_service_suitable": (_NO_SERVICE,),
        "high_leg_phase": (_HIGH_LEG,),
        "high_leg_marked": (_HIGH_LEG,),
    },
    "Main": {
        "interrupting_rating": (_NO_LUGS,),
        "class": (_NO_LUGS,),
        "integral_fuses": (unless("kind", "lugs", "fusible"), unless("class", "molded-case", "insulated-case", "fuse")),
        "voltage_rating": (_NO_LUGS,),
        "reconditioned": (_NO_LUGS,),
        "arc_energy_reduction": (_NO_LUGS,),
    },
    "Circuit": {
        "afci_at_first_outlet": (unless_yes("breaker/afci"),),
    },
    "Breaker": {"secured": (unless_no("backfed"),)},
    "FormerPanelboard": {"high_leg_phase": (_HIGH_LEG,)},
    "Enclosure": {
        "listing_document": (unless_no("listed_for_panelboard"),),
        "former_listing_marks": (unless("kind", "new"),),
        "identified_for_environment": (unless_without("/location/conditions", "damp", "wet", "corrosive"),),
        "top_entries_wet_listed": (unless_without("/location/conditions", "damp", "wet"),),
        "air_space": (unless_without("/location/conditions", "damp", "wet"),),
    },
    "FieldLabel": {
        "evaluated_for": (unless("state", "none"),),
        "document": (unless("state", "none"),),
    },
    "Location": {"lawful_when_installed": (unless_no("existing"),)},
    "Grounding": {
        "rod_resistance": (unless_without("electrodes", "ground-rod", "second-ground-rod", "plate"),),
        "main_bonding_jumper": (_NO_SERVICE,),
        "equipment_grounding_conductor": (_NO_FEEDER,),
    },
    "MainBondingJumper": {
        "size": (unless("kind", "none"),),
        "material": (unless("kind", "none"),),
    },
    "EquipmentGroundingConductor": {
        "size": (unless("kind", "none"),),
        "material": (unless("kind", "none"),),
    },
    "Service": {
        "disconnects": (_NO_SERVICE,),
        "disconnects_grouping": (_NO_SERVICE,),
        "disconnects_existing": (_NO_SERVICE,),
        "distance_inside": (_NO_SERVICE,),
        "transfer_equipment": (unless("/generation", []),),
    },
    "SurgeProtection": {"nominal_discharge_current": (unless("kind", "none"),)},
    "Generation": {
        "position": (unless("connection", "supply-side"),),
        "relocation_label": (unless("connection", "supply-side"), unless("position", "other")),
    },
}
"""The conditions of each member that has some, by the name of its object in the schema and its own; all must hold."""
