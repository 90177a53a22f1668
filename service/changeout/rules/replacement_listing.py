"""A replacement interior that is listed for the very enclosure it goes into."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, described, kind_caution, named, not_applicable, words
from changeout.rules._registry import Limits, rule


@rule(
    "replacement-interior-listed-for-enclosure",
    group="replacement",
    about="/enclosure/listed_for_panelboard",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/kind",
        "/enclosure/listed_for_panelboard",
        "/enclosure/listing_document",
        "/panelboard/listed",
        "/panelboard/short_circuit_rating",
    ),
    applies_to="an interior replaced in the existing enclosure and declared listed for it",
    parameters={"dedicated_replacement_section": "flag"},
)
def replacement_listing(case: Case, limits: Limits) -> Answer:
    """A replacement interior that is said to be listed for its enclosure is shown to be by a document.

    Because: a panelboard tested without its box is tested without the box's help in holding back arcs; its marked
        short-circuit rating carries over only into the box it was tested in.
    Passes: when it is declared listed for this enclosure, the panelboard is listed, and the listing document is named.
    Fails: when it is declared listed for this enclosure while the panelboard itself is declared not listed.
    Cannot tell: when it is not stated whether it is listed for this enclosure, or no document is named.
    Not covered: an interior that is not listed for its enclosure; the field label and the identification decide then.
    """
    enclosure, panelboard = case.enclosure, case.panelboard
    listed = enclosure.listed_for_panelboard
    if not case.work.scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", case.work.scope)
    if listed.claim.fails:
        return not_applicable(
            "the interior is declared not listed for this enclosure: the field label and the identification decide",
            listed,
        )
    document = enclosure.listing_document
    cautions = () if limits.flag("dedicated_replacement_section") else (_NO_SECTION,)
    shown = listed.claim & named(document)
    return decide(
        shown if listed.claim.unknown else shown & panelboard.listed.claim,
        yes=f"the interior is declared listed for this enclosure, and {described(document.document)} is offered for it",
        no="the interior is declared listed for this enclosure while the panelboard itself is declared not listed",
        unknown="whether the interior is listed for this enclosure is not shown: the declaration, the listing of the "
        "panelboard and the document of the listing are needed",
        found=words("listing for this enclosure", "declared") if listed.claim.holds else None,
        notes=Notes(
            rests_on=(enclosure.kind, panelboard.short_circuit_rating_a),
            documents=(document,),
            cautions=(*cautions, *kind_caution(document, "listing-evidence")),
            remedy="submit the listing that names this enclosure, or declare the interior not listed for it and have "
            "the combination evaluated",
        ),
    )


_NO_SECTION = (
    "This edition has no section of its own for replacement panelboards: listing and instructions decide, and the "
    "authority having jurisdiction."
)
