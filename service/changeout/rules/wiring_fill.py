"""How full the wiring space of a reused enclosure is."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, fixed
from changeout.domain.findings import Answer, Basis, Figure, Stage
from changeout.electrical.fill import wiring_space_fill_percent
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, figure, spread, under, within
from changeout.rules._registry import Limits, rule


@rule(
    "enclosure-wiring-fill",
    group="conductors",
    about="/enclosure/wiring_space_area",
    stage=Stage.INSPECTION,
    needs=(
        "/enclosure/wiring_space_area",
        "/enclosure/spliced_area",
        "/enclosure/passing_area",
        "/enclosure/feed_through_label",
        "/work/scope",
    ),
    applies_to="an interior replaced in the enclosure that stays",
    parameters={"splice_percent": "number", "passing_percent": "number"},
)
def wiring_fill(case: Case, limits: Limits) -> Answer:
    """Splices and conductors that pass through leave room in the wiring space, and a label says what makes them dead.

    Because: a crowded gutter cannot shed heat or be worked in; pigtails that reach to a smaller interior are splices.
    Passes: when splices and taps fill no more than the edition's percent of a cross-section, conductors that pass
        through no more than theirs, and where any pass through a label names their disconnect.
    Fails: when either is more, or the label is declared missing.
    Cannot tell: when an area or the label is not stated and decides.
    Not covered: conductors at the cross-section that neither pass through nor are spliced, said as a caution, and the
        bending space of large ones.
    """
    enclosure = case.enclosure
    spliced = wiring_space_fill_percent(enclosure.spliced_area_in2, enclosure.wiring_space_area_in2)
    passing = wiring_space_fill_percent(enclosure.passing_area_in2, enclosure.wiring_space_area_in2)
    most_spliced, most_passing = limits.number("splice_percent"), limits.number("passing_percent")
    splices_fit, passing_fits = within(spliced, most_spliced), within(passing, most_passing)
    labeled = within(enclosure.passing_area_in2, 0) | enclosure.feed_through_label.claim
    found, required = _deciding((splices_fit, spliced, most_spliced), (passing_fits, passing, most_passing))
    said = f"splices fill {spread(spliced, 'percent')} and conductors passing through {spread(passing, 'percent')}"
    answer = decide(
        splices_fit & passing_fits & labeled,
        yes=f"{said} of the wiring space, within {amount(most_spliced, 'percent')} and "
        f"{amount(most_passing, 'percent')}",
        no="no label names the disconnect of the conductors that pass through the enclosure"
        if labeled.fails and not (splices_fit.fails or passing_fits.fails)
        else f"{said} of the wiring space; no more than {amount(most_spliced, 'percent')} and "
        f"{amount(most_passing, 'percent')} leave room",
        unknown="not stated: how full the wiring space is, or the label for conductors that pass through",
        found=found,
        required=required,
        notes=Notes(
            remedy="label what passes through with its disconnect"
            if labeled.fails
            else "take splices or passing conductors out of the enclosure, or use a larger one",
            basis=Basis.COMPUTED,
            cautions=(
                f"The {amount(most_passing, 'percent')} count every conductor at the cross-section, not only those "
                "that pass through.",
            ),
        ),
    )
    return under(
        case.work.scope.among("interior-only"), answer, otherwise="the enclosure is new, made or chosen for its wiring"
    )


def _deciding(*tests: tuple[Claim, Measurement, float]) -> tuple[Figure | None, Figure | None]:
    """Return the figures of the first test that fails; none where none does."""
    for claim, percent, most in tests:
        if claim.fails:
            return (
                figure("part of the wiring space that is filled", percent, "percent"),
                figure("part that may be filled", fixed(most), "percent", "<="),
            )
    return None, None
