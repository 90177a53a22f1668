"""The offset of the fault current against the circuit that the main breaker's class is tested in."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Measurement, merged
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import MainDevice
from changeout.electrical.asymmetry import TESTED_CLASSES, multiplying_factor, x_over_r_of_test
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, amount, at_most, not_applicable, spread, under, within
from changeout.rules._registry import Limits, rule


@rule(
    "test-power-factor-of-breaker-class",
    group="ratings",
    about="/panelboard/main",
    stage=Stage.INTAKE,
    needs=(
        "calculation:fault-current",
        "/panelboard/main/kind",
        "/panelboard/main/interrupting_rating",
        "/panelboard/main/class",
        "/panelboard/main/integral_fuses",
    ),
    applies_to="a panelboard with a main breaker",
)
def breaker_test_circuit(case: Case, _limits: Limits) -> Answer:
    """The circuit's X/R is no higher than in the main breaker's test, or the fault current adjusted for it still fits.

    Because: a breaker's rating is symmetrical and proven at a test power factor; with a higher X/R the first crest is
        higher than tested.
    Passes: when X/R at the panelboard is at or under that of the test circuit of the breaker's class, or the fault
        current times the multiplying factor is at or under the interrupting rating.
    Fails: when the multiplied current is over the interrupting rating; engineering practice, so only ever advice.
    Cannot tell: when class, interrupting rating, X/R, or whether a power breaker has fuses, is not stated and decides.
    Not covered: branch breakers and fuses.
    """
    main = case.panelboard.main
    if main.device_class.value == "fuse":
        return not_applicable("the main is fused; the test circuits of fuses are not in the table", main.device_class)
    return under(main.kind.among("breaker"), _adjusted(case), otherwise="the main is no breaker")


def _adjusted(case: Case) -> Answer:
    main, ratio, current = case.panelboard.main, case.fault_current.x_over_r, case.fault_current.at_panelboard
    rating, tested = main.interrupting_rating_a, _tested(main)
    adjusted = Measurement(
        Interval(
            current.low * multiplying_factor(ratio.low, tested.high),
            current.high * multiplying_factor(ratio.high, tested.low),
        ),
        merged(current.inputs, ratio.inputs, tested.inputs),
        merged(current.missing, ratio.missing, tested.missing),
        current.calculation,
    )
    if within(ratio, tested).holds:
        return at_most(
            Quantity(name="X/R at the panelboard", number=ratio),
            Quantity(name="X/R of the circuit that the breaker's class is tested in", number=tested),
            "",
        )
    fits = within(adjusted, rating)
    over = f", {amount(round(100 * (adjusted.low / rating.high - 1), 1), '%')} above it" if fits.fails else ""
    answer = at_most(
        Quantity(
            name=f"fault current adjusted for X/R of {spread(ratio, '')}, tested at {spread(tested, '')}",
            number=adjusted,
        ),
        Quantity(name="interrupting rating of the main", number=rating),
        "A",
        Notes(remedy="use a main with a higher interrupting rating, or have an engineer look at the offset"),
    )
    return replace(answer, message=answer.message.removesuffix(".") + over + ".")


def _tested(main: MainDevice) -> Measurement:
    """Return the X/R of the circuit that the main was tested in, over every make-up and rating that it can have."""
    rating, of_class, fuses = main.interrupting_rating_a, main.device_class, main.integral_fuses.claim
    each = [
        figure
        for kind in (TESTED_CLASSES if of_class.value is None else (of_class.value,))
        for fused in (True, False)
        if not (fuses.fails if fused else fuses.holds)
        for end in (rating.low, rating.high)
        if (figure := x_over_r_of_test(kind, end, fused=fused)) is not None
    ]
    asks_fuses = not of_class.among("power").fails
    return Measurement(
        Interval(min(each), max(each)),
        merged(of_class.inputs, rating.inputs, fuses.inputs if asks_fuses else ()),
        merged(of_class.missing, rating.missing, fuses.missing if asks_fuses else ()),
    )
