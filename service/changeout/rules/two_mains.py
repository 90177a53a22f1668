"""A panelboard that two mains protect together."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, fixed
from changeout.domain.findings import Answer, Figure, Judgement, Stage
from changeout.electrical.positions import poles_taken
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, figure, not_applicable, spread, under, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import DEVICE_NEEDS, ahead, is_device, mains


@rule(
    "two-mains-and-42-devices",
    group="busbar-and-protection",
    about="/panelboard/second_main",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/busbar_rating",
        "/panelboard/circuits/*/poles",
        "/panelboard/subfeed_lugs",
        "/panelboard/feed_through_lugs",
        *DEVICE_NEEDS,
    ),
    applies_to="a panelboard that two mains protect and no single device does",
    parameters={"max_devices": "number"},
)
def two_mains(case: Case, limits: Limits) -> Answer:
    """Two mains together are rated no higher than the busbar, and the panelboard holds no more devices than allowed.

    Because: two mains feed one busbar, so their currents add up in it, and neither of them alone sees the sum.
    Passes: when the ratings of both add up to the busbar's rating or less, and the poles of all circuits to the
        edition's number or less.
    Fails: when the sum of the ratings, or of the poles, is more.
    Cannot tell: when a rating, the poles of a circuit or the device ahead is not stated and decides.
    Not covered: mains that each feed a busbar of their own.
    """
    second = case.panelboard.second_main
    if second is None and not case.panelboard.given:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the panelboard, and so whether two mains protect it.",
            missing=(f"{case.panelboard.at}/second_main",),
        )
    if second is None:
        return not_applicable("the panelboard has no second main", case.panelboard.main.kind)
    bus, before = case.panelboard.busbar_rating_a, ahead(case)
    single = before.there & within(before.rating, bus)
    trigger = is_device(case.panelboard.main) & is_device(second) & ~single
    return under(
        trigger,
        _judged(case, limits.number("max_devices")),
        otherwise="a single device ahead protects the panelboard" if single.holds else "one of the two mains is lugs",
    )


def _judged(case: Case, most: float) -> Answer:
    bus, total, poles = case.panelboard.busbar_rating_a, mains(case).rating, poles_taken(case.panelboard.circuits)
    rated, counted = within(total, bus), within(poles, most)
    sum_text = f"the two mains add up to {spread(total, 'A')}"
    poles_text = f"the circuits take {spread(poles, '')} poles"
    found, required = _deciding(case, rated, counted, most)
    return decide(
        rated & counted,
        yes=f"{sum_text}, no more than the busbar rating ({spread(bus, 'A')}), and {poles_text}, no more than "
        f"{amount(most, '')}",
        no=f"{sum_text}, more than the busbar rating ({spread(bus, 'A')})"
        if rated.fails
        else f"{poles_text}, more than the {amount(most, '')} that a panelboard protected by two mains may hold",
        unknown="whether the two mains together are within the busbar rating, and the poles within the number allowed, "
        "cannot be told from what is stated",
        found=found,
        required=required,
        notes=Notes(
            remedy="use mains that add up to no more than the busbar rating"
            if rated.fails
            else "take circuits out, or protect the panelboard by a single main or a device ahead",
            cautions=_fed_through(case),
        ),
    )


def _fed_through(case: Case) -> tuple[str, ...]:
    panelboard = case.panelboard
    if not (panelboard.subfeed_lugs.claim | panelboard.feed_through_lugs.claim).holds:
        return ()
    return (
        "Lugs on the busbar feed another panelboard: its devices are not counted here, and it is protected by the two "
        "mains together and by no single one, unless it has a main of its own.",
    )


def _deciding(case: Case, rated: Claim, counted: Claim, most: float) -> tuple[Figure | None, Figure | None]:
    total: Measurement = mains(case).rating
    if rated.fails:
        return (
            figure("sum of the two mains", total, "A"),
            figure("busbar rating of the panelboard", case.panelboard.busbar_rating_a, "A", "<="),
        )
    if counted.fails:
        return (
            figure("poles of the circuits", poles_taken(case.panelboard.circuits), ""),
            figure("poles allowed with two mains", fixed(most), "", "<="),
        )
    return None, None
