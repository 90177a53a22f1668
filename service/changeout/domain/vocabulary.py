"""The closed lists of words that a proposal is written in, each in its published order.

Source: the interface itself; conductor sizes are those of the ampacity table of Article 310 from 14 AWG up.
"""

from __future__ import annotations

from typing import Final

DOCUMENT_VERSION: Final = 1
"""The one version of the proposal document."""

EDITIONS: Final = ("2017", "2020", "2023", "2026")

OCCUPANCIES: Final = (
    "one-family-dwelling",
    "two-family-dwelling",
    "multifamily-dwelling",
    "guest-rooms",
    "dormitory",
    "health-care",
    "commercial",
    "industrial",
)
PROJECT_SERVES: Final = ("whole-building", "dwelling-unit", "common-area")

WORK_SCOPES: Final = ("interior-only", "interior-in-new-enclosure", "enclosed-panelboard")
WORK_STATUSES: Final = ("proposed", "completed")
WORK_ITEMS: Final = ("panelboard", "meter-socket", "service-conductors", "raceway")
ISOLATIONS: Final = ("utility-disconnect", "upstream-disconnect", "none")
TEMPORARY_POWERS: Final = ("none", "planned")

SYSTEMS: Final = (
    "120/240V-1ph-3w",
    "120/208V-1ph-3w",
    "208Y/120V-3ph-4w",
    "480Y/277V-3ph-4w",
    "240/120V-3ph-4w-high-leg",
    "240V-3ph-3w",
    "480V-3ph-3w",
)
SYSTEM_GROUNDINGS: Final = ("solidly-grounded", "corner-grounded", "impedance-grounded", "ungrounded")
SOURCE_KINDS: Final = ("transformer", "stated")
TRANSFORMER_BANKS: Final = ("single-unit", "closed-delta-equal", "open-delta", "unequal-units")
UPSTREAM_KINDS: Final = ("unlimited", "short-circuit-power")
FAULT_TYPES: Final = ("greatest", "three-phase", "line-to-line", "line-to-neutral")
OVERCURRENT_DEVICE_KINDS: Final = ("breaker", "fuse")
OVERCURRENT_DEVICE_POSITIONS: Final = ("before-transformer", "after-transformer")
TAP_RULES: Final = ("ten-foot", "twenty-five-foot", "outside", "transformer-secondary")
SUPPLIED_BUILDINGS: Final = ("dwelling", "detached-garage", "accessory-building", "other")

CONDUCTOR_SIZES: Final = (
    "14 AWG",
    "12 AWG",
    "10 AWG",
    "8 AWG",
    "6 AWG",
    "4 AWG",
    "3 AWG",
    "2 AWG",
    "1 AWG",
    "1/0 AWG",
    "2/0 AWG",
    "3/0 AWG",
    "4/0 AWG",
    "250 kcmil",
    "300 kcmil",
    "350 kcmil",
    "400 kcmil",
    "500 kcmil",
    "600 kcmil",
    "700 kcmil",
    "750 kcmil",
    "800 kcmil",
    "900 kcmil",
    "1000 kcmil",
    "1250 kcmil",
    "1500 kcmil",
    "1750 kcmil",
    "2000 kcmil",
)
"""Every conductor size, in order of area."""

CONDUCTOR_MATERIALS: Final = ("copper", "aluminum")
RACEWAYS: Final = ("steel", "aluminum", "nonmetallic")

PANELBOARD_ROLES: Final = ("service", "feeder")
IDENTIFICATION_BASES: Final = ("manufacturer-instructions", "listing", "authority-approval")
RATING_BASES: Final = ("fully-rated", "series")
SERIES_BASES: Final = ("tested", "engineered")
ORIENTATIONS: Final = ("vertical", "horizontal", "face-up", "face-down")
PHASES: Final = ("a", "b", "c")
MAIN_KINDS: Final = ("breaker", "fusible", "lugs")
MAIN_CLASSES: Final = ("molded-case", "insulated-case", "power", "fuse")

CIRCUIT_USES: Final = (
    "kitchen",
    "laundry",
    "bathroom",
    "bedroom",
    "living",
    "hallway",
    "garage",
    "outdoors",
    "basement",
    "hvac",
    "range",
    "dryer",
    "water-heater",
    "ev",
    "pool",
    "sump",
    "lighting",
    "subpanel",
    "other",
)
OUTLETS: Final = ("receptacle", "lighting", "equipment")
CIRCUIT_NEUTRALS: Final = ("insulated", "bare-se", "none")
WIRING_METHODS: Final = (
    "nonmetallic-cable-with-ground",
    "nonmetallic-cable-without-ground",
    "armored-cable",
    "metal-raceway",
    "knob-and-tube",
    "service-cable",
    "other",
)

ENCLOSURE_KINDS: Final = ("existing", "new")
ENCLOSURE_TYPES: Final = (
    "1",
    "2",
    "3",
    "3R",
    "3S",
    "3X",
    "3RX",
    "3SX",
    "4",
    "4X",
    "5",
    "6",
    "6P",
    "12",
    "12K",
    "13",
)
ENCLOSURE_MATERIALS: Final = ("steel", "stainless-steel", "aluminum", "nonmetallic")
ENCLOSURE_MOUNTINGS: Final = ("surface", "flush")
ENCLOSURE_CONDITIONS: Final = ("sound", "corroded", "damaged")
FORMER_LISTING_MARKS: Final = ("removed", "to-be-removed", "present", "none")
FIELD_LABEL_STATES: Final = ("applied", "arranged", "none")
COVER_ORIGINS: Final = ("makers-part", "retrofit-kit", "altered", "home-made")

CONDITIONS: Final = ("dry", "damp", "wet", "corrosive")
ROOMS: Final = (
    "utility-room",
    "garage",
    "basement",
    "outdoors",
    "bathroom",
    "clothes-closet",
    "stairway",
    "pool-equipment-room",
    "electrical-room",
    "kitchen",
    "other",
)
OPPOSITE_SIDES: Final = ("insulated", "grounded", "live")
DOOR_HARDWARES: Final = ("listed-panic", "other", "none")

LOAD_METHODS: Final = ("stated", "dwelling-standard", "dwelling-optional", "dwelling-existing", "measured-demand")
APPLIANCE_KINDS: Final = ("fixed", "range", "dryer", "ev", "motor", "heat", "heat-pump", "cool")
DEMAND_RECORDS: Final = ("one-year", "thirty-day")

ELECTRODES: Final = (
    "ground-rod",
    "second-ground-rod",
    "water-pipe",
    "concrete-encased",
    "ground-ring",
    "structural-metal",
    "plate",
)
MAIN_BONDING_JUMPER_KINDS: Final = ("screw", "strap", "wire", "busbar", "none")
EQUIPMENT_GROUNDING_KINDS: Final = ("wire", "raceway", "none")

DISCONNECTS_GROUPINGS: Final = ("one-enclosure", "separate-enclosures", "separate-sections")
EMERGENCY_DISCONNECTS: Final = ("outdoor-marked", "outdoor-unmarked", "none")
EMERGENCY_DISCONNECT_ROLES: Final = ("service-disconnect", "meter-disconnect", "other")
SURGE_PROTECTION_KINDS: Final = ("type-1", "type-2", "none")
TRANSFER_EQUIPMENTS: Final = ("listed", "none")

GENERATION_KINDS: Final = ("pv", "battery", "generator", "other")
GENERATION_POSITIONS: Final = ("opposite-end", "other")
GENERATION_CONNECTIONS: Final = ("supply-side", "load-side")

DOCUMENT_KINDS: Final = (
    "utility-letter",
    "listing-evidence",
    "manufacturer-instructions",
    "field-evaluation-report",
    "series-combination-table",
    "engineering-study",
    "load-record",
    "drawing",
    "photo",
    "other",
)
