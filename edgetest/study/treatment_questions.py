"""What do the heat treatments of a study leave open about what differs between them?"""

from collections.abc import Iterator
from itertools import combinations

from edgetest.errors import UnusableInput
from edgetest.store.heat_treatments import HeatTreatment
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.words import listed


def same_steps(study: Study) -> list[tuple[HeatTreatment, HeatTreatment]]:
    """Pairs of heat treatments that name the very same steps, where they name any.

    Those of steels that are noted of every blade and differ are `steels_treated_alike`; those
    without a blade compare nothing.
    """
    held = steels_held(study)
    apart = steels_treated_alike(study)
    return [
        (a, b)
        for a, b in _alike(study)
        if (a, b) not in apart and (not held or (a.id in held and b.id in held))
    ]


def steels_treated_alike(study: Study) -> list[tuple[HeatTreatment, HeatTreatment]]:
    """Pairs that name the very same steps and share no steel: two steels are compared."""
    held = steels_held(study)
    return [
        (a, b)
        for a, b in _alike(study)
        if a.id in held
        and b.id in held
        and all((*held[a.id].values(), *held[b.id].values()))
        and not set(held[a.id].values()) & set(held[b.id].values())
    ]


def steels_held(study: Study) -> dict[str, dict[str, str]]:
    """Steel of each blade by heat treatment and blade, however spelled; "" where none is noted."""
    held: dict[str, dict[str, str]] = {}
    for blade in study.blades:
        if blade.heat_treatment:
            steel = " ".join(blade.steel.split()).casefold()
            held.setdefault(blade.heat_treatment, {})[blade.id] = steel
    return held


def _alike(study: Study) -> list[tuple[HeatTreatment, HeatTreatment]]:
    return [
        (a, b)
        for a, b in combinations(study.heat_treatments, 2)
        if a.steps and a.steps == b.steps and a.note == b.note
    ]


def tempered_apart(study: Study) -> list[tuple[str, list[HeatTreatment]]]:
    """Batches whose blades have tempers that differ, with their heat treatments.

    Such a batch is that of the quench: what came after it was done to some of its blades only.
    With several such batches each can have had tempers of its own; that is not noted either.
    Batches whose blades part before the temper are told by `parted_before`.
    """
    before = {batch for batch, _, _ in parted_before(study)}
    return [
        (batch, each)
        for batch, each in _held(study).items()
        if batch not in before and len({_said(t, "temper") for t in each}) > 1
    ]


def parted_before(study: Study) -> list[tuple[str, list[str], list[HeatTreatment]]]:
    """Batches whose blades differ in a step that is no temper, with all such kinds of step.

    Such a batch is not the load in which their heat treatments part: blades of one load of the
    quench had the same quench. A step that is noted of some alone says nothing.
    """
    found: list[tuple[str, list[str], list[HeatTreatment]]] = []
    for batch, each in _held(study).items():
        kinds = dict.fromkeys(step.kind for treatment in each for step in treatment.steps)
        said = {kind: {_said(treatment, kind) for treatment in each} for kind in kinds}
        apart: list[str] = [
            kind for kind, words in said.items() if len(words) > 1 and "" not in words
        ]
        if set(apart) - {"temper"}:
            found.append((batch, apart, each))
    return found


def _steels_of_one(study: Study) -> Iterator[UnusableInput]:
    """Where one heat treatment leaves nothing to compare, though the steels differ."""
    held = steels_held(study)
    if len(held) != 1:
        return
    ((name, steels),) = held.items()
    if len({*steels.values()} - {""}) < 2:
        return
    written: dict[str, str] = {}
    for blade in study.blades:
        if steels.get(blade.id):
            written.setdefault(steels[blade.id], " ".join(blade.steel.split()))
    yield UnusableInput(
        f"all blades have the heat treatment {name}, so nothing is compared, though their steels "
        f"differ ({'; '.join(written.values())})",
        f"{STUDY_FILE}, heat_treatments",
        "to compare the steels, give the blades of each a heat treatment with an id of its own, "
        "with the same steps",
    )


def _held(study: Study) -> dict[str, list[HeatTreatment]]:
    """Heat treatments of the blades of each batch."""
    known = {each.id: each for each in study.heat_treatments}
    held: dict[str, list[HeatTreatment]] = {}
    for blade in study.blades:
        treatment = known.get(blade.heat_treatment or "")
        if blade.batch and treatment is not None and treatment not in held.get(blade.batch, []):
            held.setdefault(blade.batch, []).append(treatment)
    return held


def _said(treatment: HeatTreatment, kind: str) -> str:
    """The steps of a kind in words."""
    return "; ".join(step.words() for step in treatment.steps if step.kind == kind)


def asked_of_treatments(study: Study) -> Iterator[UnusableInput]:
    """Questions for the one who typed it: each with its place and what to do if it is a slip."""
    for a, b in same_steps(study):
        yield UnusableInput(
            f"heat treatments {a.id} and {b.id} name the same steps ({a.words()})",
            f"{STUDY_FILE}, heat_treatments",
            "write what differs between them (two steels: write the steel of every blade), or give "
            "their blades one heat treatment",
        )
    yield from _steels_of_one(study)
    for batch, kinds, treatments in parted_before(study):
        yield UnusableInput(
            f'batch "{batch}" stands on blades of {listed(each.id for each in treatments)}, which '
            f"differ in {listed(kinds)}",
            f"{STUDY_FILE}, blades, batch",
            f"write the load of the {kinds[0]} as the batch, where the heat treatments part: "
            "blades of one load share its luck",
        )
    for batch, treatments in tempered_apart(study):
        yield UnusableInput(
            f'batch "{batch}" stands on blades of {listed(each.id for each in treatments)}, whose '
            "tempers differ",
            f"{STUDY_FILE}, blades, batch",
            "if each temper was one load, or a few, write the load of the temper as the batch: "
            "blades of one load share its luck; if each blade was tempered by itself, leave it",
        )
