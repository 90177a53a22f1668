"""The proposal as rules read it: one frozen class for each object of the interface, facts in base units.

The unit of a quantity ends its name: ``_a`` amperes, ``_va`` volt-amperes, ``_w`` watts, ``_in`` inches,
``_ft2`` square feet, ``_in2`` square inches, ``_ohm``, ``_ohm_per_kft``, ``_degc`` degrees Celsius. A member that
was not stated is a fact that says so; an object that was not stated is there with nothing stated in it.
Only what means "there is none" by its absence is ``None`` (``separately_derived``, ``second_main``,
``overcurrent_device``, a run's ``device_after``). ``given`` says whether the object that would hold it was stated at
all: where it was not, nobody said that there is none.
"""

from __future__ import annotations

from changeout.domain.facts import (
    Choice,
    Choices,
    ConductorSize,
    Day,
    Document,
    Evidence,
    Flag,
    Listed,
    Number,
    PowerOrCurrent,
    Text,
    VoltageRating,
)
from changeout.domain.value import value


@value(frozen=True, slots=True, kw_only=True)
class Appliance:
    """A load of the calculation."""

    at: str
    name: Text
    rating: PowerOrCurrent
    kind: Choice
    supplemental_w: Number


@value(frozen=True, slots=True, kw_only=True)
class Breaker:
    """A branch or feeder breaker."""

    at: str
    rating_a: Number
    interrupting_rating_a: Number
    afci: Flag
    gfci: Flag
    suitable_for_panelboard: Flag
    backfed: Flag
    secured: Flag
    voltage_rating: VoltageRating
    reconditioned: Flag
    handle_tie: Flag


@value(frozen=True, slots=True, kw_only=True)
class CircuitConductor:
    """The conductor of a circuit."""

    at: str
    size: ConductorSize
    material: Choice
    insulation_temperature_degc: Number
    extended_by_in: Number


@value(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One position (or several) of the panelboard and what it feeds."""

    at: str
    number: Number
    poles: Number
    breaker: Breaker
    conductor: CircuitConductor
    load: PowerOrCurrent
    serves: Text
    use: Choice
    outlet: Choice
    outlets: Number
    existing: Flag
    equipment_replaced: Flag
    outlets_added: Flag
    extension_inside_enclosure: Flag
    afci_at_first_outlet: Flag
    neutral: Choice
    neutral_covered_in_panelboard: Flag
    multiwire_group: Text
    wiring_method: Choice


@value(frozen=True, slots=True, kw_only=True)
class MainDevice:
    """A main of the panelboard: breaker, fusible, or lugs."""

    at: str
    kind: Choice
    rating_a: Number
    interrupting_rating_a: Number
    poles: Number
    device_class: Choice
    integral_fuses: Flag
    voltage_rating: VoltageRating
    reconditioned: Flag
    hundred_percent_rated: Flag
    ground_fault_protection: Flag
    arc_energy_reduction: Flag


@value(frozen=True, slots=True, kw_only=True)
class SeriesRating:
    """The series rating claimed for the panelboard."""

    at: str
    tested_combination_document: Evidence
    field_marked: Flag
    combination_rating_a: Number
    basis: Choice
    motor_full_load_current_a: Number
    upstream_interrupting_rating_a: Number


@value(frozen=True, slots=True, kw_only=True)
class Panelboard:
    """The replacement panelboard."""

    at: str
    role: Choice
    busbar_rating_a: Number
    short_circuit_rating_a: Number
    listed: Flag
    reconditioned: Flag
    identified_for_application: Flag
    identification_basis: Choice
    identification_document: Evidence
    rating_basis: Choice
    series_rating: SeriesRating
    main: MainDevice
    second_main: MainDevice | None
    termination_temperature_degc: Number
    marked_maximum_poles: Number
    circuits: Listed[Circuit]
    split_bus: Flag
    marked_service_suitable: Flag
    marking_visible: Flag
    source_marked: Flag
    short_circuit_rating_field_marked: Flag
    reconditioning_marked: Flag
    conductors_identified: Flag
    emergency_circuits: Flag
    orientation: Choice
    high_leg_phase: Choice
    high_leg_marked: Flag
    neutral_terminals: Number
    subfeed_lugs: Flag
    feed_through_lugs: Flag
    center_fed: Flag
    given: bool = True


@value(frozen=True, slots=True, kw_only=True)
class FieldLabel:
    """The label of a field evaluation of the completed work."""

    at: str
    state: Choice
    evaluated_for_a: Number
    document: Evidence


@value(frozen=True, slots=True, kw_only=True)
class Enclosure:
    """The box the panelboard sits in."""

    at: str
    kind: Choice
    listed_for_panelboard: Flag
    listing_document: Evidence
    former_listing_marks: Choice
    field_label: FieldLabel
    dead_front: Flag
    type: Choice
    material: Choice
    condition: Choice
    reconditioned: Flag
    unused_openings_closed: Flag
    wire_bending_space_in: Number
    cover_origin: Choice
    identified_for_environment: Flag
    top_entries_wet_listed: Flag
    feed_through_label: Flag
    terminal_faces_wall: Flag
    width_in: Number
    top_height_in: Number
    wiring_space_area_in2: Number
    spliced_area_in2: Number
    passing_area_in2: Number
    wires_per_terminal: Number
    mounting: Choice
    air_space_in: Number


@value(frozen=True, slots=True, kw_only=True)
class FormerPanelboard:
    """The panelboard that was there before."""

    at: str
    high_leg_phase: Choice
    busbar_rating_a: Number
    main_rating_a: Number
    like_for_like: Flag
    listed_enclosure: Flag


@value(frozen=True, slots=True, kw_only=True)
class WorkingSpace:
    """The clear space in front of the panelboard."""

    at: str
    depth_in: Number
    width_in: Number
    height_in: Number
    opposite: Choice
    floor_clear_and_flat: Flag
    egress_width_doors_open_in: Number
    door_distance_in: Number
    door_hardware: Choice
    entrances: Number
    unobstructed_exit: Flag


@value(frozen=True, slots=True, kw_only=True)
class Location:
    """Where the panelboard stands."""

    at: str
    conditions: Choices
    room: Choice
    working_space: WorkingSpace
    dedicated_space_clear: Flag
    highest_handle_in: Number
    readily_accessible: Flag
    existing: Flag
    lawful_when_installed: Flag
    over_steps: Flag
    illumination: Flag
    occupant_access: Flag
    qualified_persons_only: Flag


@value(frozen=True, slots=True, kw_only=True)
class Load:
    """The load calculation, by one method."""

    at: str
    method: Choice
    calculated_load: PowerOrCurrent
    continuous_share: Number
    general_lighting_va: Number
    appliances: Listed[Appliance]
    floor_area_ft2: Number
    small_appliance_circuits: Number
    laundry_circuits: Number
    ev_counted_va: Number
    added_load: PowerOrCurrent
    maximum_demand: PowerOrCurrent
    demand_record: Choice
    peak_shaving: Flag


@value(frozen=True, slots=True, kw_only=True)
class GroundingConductor:
    """A grounding or bonding conductor."""

    at: str
    kind: Choice
    size: ConductorSize
    material: Choice


@value(frozen=True, slots=True, kw_only=True)
class Grounding:
    """Grounding and bonding at the panelboard."""

    at: str
    electrode_conductor: GroundingConductor
    electrodes: Choices
    electrodes_not_connected: Choices
    rod_resistance_ohm: Number
    main_bonding_jumper: GroundingConductor
    equipment_grounding_conductor: GroundingConductor
    neutral_isolated: Flag
    intersystem_bonding: Flag
    equipment_terminal_bar: Flag
    piping_bonded: Flag


@value(frozen=True, slots=True, kw_only=True)
class SurgeProtection:
    """The surge-protective device."""

    at: str
    kind: Choice
    nominal_discharge_current_a: Number


@value(frozen=True, slots=True, kw_only=True)
class Service:
    """What is asked of service equipment, and of disconnects."""

    at: str
    disconnects: Number
    disconnects_grouping: Choice
    disconnects_existing: Flag
    emergency_disconnect: Choice
    emergency_disconnect_is: Choice
    emergency_disconnect_marking: Text
    surge_protection: SurgeProtection
    line_side_barriers: Flag
    fault_current_marking: Flag
    arc_flash_label: Flag
    arc_flash_warning: Flag
    disconnect_marked: Flag
    sources_directory: Flag
    upstream_disconnect_outdoors_in_sight: Flag
    previous_fault_current_marking_a: Number
    distance_inside_in: Number
    transfer_equipment: Choice


@value(frozen=True, slots=True, kw_only=True)
class GenerationSource:
    """A source of power besides the supply."""

    at: str
    kind: Choice
    output_current_a: Number
    breaker_rating_a: Number
    position: Choice
    connection: Choice
    relocation_label: Flag


@value(frozen=True, slots=True, kw_only=True)
class Upstream:
    """What lies before the transformer."""

    at: str
    kind: Choice
    value_va: Number
    x_over_r: Number


@value(frozen=True, slots=True, kw_only=True)
class Source:
    """Where the fault current comes from: a transformer, or a stated value."""

    at: str
    kind: Choice
    bank: Choice
    rating_va: Number
    impedance_percent: Number
    x_over_r: Number
    upstream: Upstream
    available_fault_current_a: Number
    fault_type: Choice
    line_to_neutral_fault_current_a: Number
    stated_by: Text
    dated: Day
    document: Evidence


@value(frozen=True, slots=True, kw_only=True)
class RunDevice:
    """The overcurrent device at the end of a run, which the next run starts from."""

    at: str
    kind: Choice
    rating_a: Number
    interrupting_rating_a: Number


@value(frozen=True, slots=True, kw_only=True)
class Run:
    """Conductors of one kind and length."""

    at: str
    id: Text
    size: ConductorSize
    material: Choice
    length_in: Number
    sets: Number
    raceway: Choice
    insulation_temperature_degc: Number
    resistance_ohm_per_kft: Number
    reactance_ohm_per_kft: Number
    ambient_temperature_degc: Number
    current_carrying_conductors: Number
    device_after: RunDevice | None


@value(frozen=True, slots=True, kw_only=True)
class SeparatelyDerived:
    """A transformer on the premises between source and panelboard."""

    at: str
    rating_va: Number
    impedance_percent: Number
    x_over_r: Number
    primary_system: Choice
    primary_runs: Listed[Run]


@value(frozen=True, slots=True, kw_only=True)
class OvercurrentDevice:
    """The device ahead of the panelboard."""

    at: str
    kind: Choice
    rating_a: Number
    interrupting_rating_a: Number
    position: Choice


@value(frozen=True, slots=True, kw_only=True)
class Supply:
    """The electrical supply from its source to the panelboard."""

    at: str
    system: Choice
    source: Source
    runs: Listed[Run]
    motor_full_load_current_a: Number
    motor_multiplier: Number
    separately_derived: SeparatelyDerived | None
    overcurrent_device: OvercurrentDevice | None
    carries_entire_dwelling_load: Flag
    separate_building: Flag
    building: Choice
    tap: Flag
    tap_rule: Choice
    tap_length_in: Number
    conductors_upsized: Flag
    upsized_from: ConductorSize
    system_grounding: Choice
    given: bool = True


@value(frozen=True, slots=True, kw_only=True)
class Work:
    """What is proposed, or was done."""

    at: str
    scope: Choice
    status: Choice
    items: Choices
    becomes_feeder: Flag
    isolation: Choice
    temporary_power: Choice


@value(frozen=True, slots=True, kw_only=True)
class Project:
    """Whose rules apply."""

    at: str
    reference: Text
    edition: Choice
    jurisdiction: Text
    applied_on: Day
    permit_issued_on: Day
    work_started_on: Day
    occupancy: Choice
    serves: Choice


@value(frozen=True, slots=True, kw_only=True)
class Waiver:
    """A finding that somebody with the power to do so has set aside."""

    at: str
    rule: str
    reason: str
    granted_by: str
    expires_on: Day


@value(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A proposed panelboard replacement, as it was read."""

    project: Project
    work: Work
    supply: Supply
    panelboard: Panelboard
    former_panelboard: FormerPanelboard
    enclosure: Enclosure
    location: Location
    load: Load
    grounding: Grounding
    service: Service
    generation: Listed[GenerationSource]
    documents: Listed[Document]
    waivers: tuple[Waiver, ...]
