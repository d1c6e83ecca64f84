"""What do the blades of a study say of the steel that they were forged from?"""

from dataclasses import dataclass, replace

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import AS_BOUGHT, HardnessSeen, HeatSeen, TemperSeen
from edgetest.store.blades import Blade
from edgetest.store.heat_treatments import HeatTreatment, Step
from edgetest.store.records import Study
from edgetest.study.steel.steel_rows import (
    IN_EVIDENCE,
    CouponHeat,
    CouponTemper,
    CouponTrial,
    SteelRows,
)
from edgetest.units import Unreadable, normal, parse_quantity

WARM_WATER_C = 40.0  # water from here on is called warm; common practice, no source
CYCLES = ("normalise", "thermal_cycle")


@dataclass(frozen=True)
class Home:
    """The piece a blade came from, its heat treatment, and whether a pack was part of it."""

    piece: str
    treatment: str | None = None
    carburised: bool = False


def reference_blades(study: Study) -> tuple[str, ...]:
    """The blades of known steel: the reference, and those of its heat treatment that are alike."""
    if study.reference is None:
        return ()
    first = study.blade(study.reference)
    alike = first.heat_treatment
    return tuple(
        blade.id
        for blade in study.blades
        if blade.id == first.id or (alike and not blade.piece and blade.heat_treatment == alike)
    )


def blade_homes(study: Study, pieces: tuple[str, ...]) -> dict[str, Home]:
    """Where each blade of the unknown steel belongs.

    A blade that does not say its piece belongs to the only one; where there are several it
    is left out (see `homeless`).
    """
    found = {}
    for blade in _unknown_steel(study):
        if not blade.piece and len(pieces) > 1:
            continue
        steps = _treatment(study, blade).steps
        packed = any(step.kind == "carburise" for step in steps)
        found[blade.id] = Home(blade.piece or pieces[0], blade.heat_treatment, packed)
    return found


def home_of(
    row: CouponHeat | CouponTemper | CouponTrial, rows: SteelRows, homes: dict[str, Home]
) -> Home:
    """The piece that a row belongs to: its blade's, else the one it names, else the only one.

    Raises
    ------
    UnusableInput
        If its blade is of known steel, or does not say of which piece it is.
    """
    if row.blade is None:
        return Home(row.piece or rows.piece_names[0])
    home = homes.get(row.blade)
    if home is None:
        raise UnusableInput(
            f"blade {row.blade} is not made of the unknown steel, or does not say from which piece",
            IN_EVIDENCE,
            "write piece = … with the blade, or take the row out",
        )
    return home


def homeless(study: Study, homes: dict[str, Home]) -> list[str]:
    """Blades of the unknown steel that do not say from which of several pieces they come."""
    return [blade.id for blade in _unknown_steel(study) if blade.id not in homes]


def _unknown_steel(study: Study) -> list[Blade]:
    """All blades but those of known steel and a control that is of no piece."""
    known = set(reference_blades(study))
    return [
        blade
        for blade in study.blades
        if blade.id not in known and (blade.id != study.control or blade.piece)
    ]


def _treatment(study: Study, blade: Blade) -> HeatTreatment:
    """A blade's heat treatment; one without steps where it has none."""
    if blade.heat_treatment is None:
        return HeatTreatment(id="none")
    return study.heat_treatment(blade.heat_treatment)


def heats_of_blades(study: Study, homes: dict[str, Home]) -> tuple[HeatSeen, ...]:
    """The heat that each blade's heat treatment tells, with its tempers and the blade's hardness.

    A blade that tells neither steps nor hardness is left out.
    """
    told = (_heat_of(study.blade(name), home, study) for name, home in homes.items())
    return tuple(heat for heat in told if heat is not None)


def _heat_of(blade: Blade, home: Home, study: Study) -> HeatSeen | None:
    """The last quench of a blade with the heat before it; None where nothing is told."""
    steps = _treatment(study, blade).steps
    tempers = _tempers(steps, _readings(blade))
    quench, hot = _last(steps, "quench"), _last(steps, "austenitise")
    if quench is None and not tempers:
        return None
    medium, medium_c = medium_in_words(quench.medium if quench else "")
    cycles = sum(step.repeats for step in steps if step.kind in CYCLES)
    return HeatSeen(
        home.piece, blade.id, medium=medium, medium_c=medium_c,
        heat_c=hot.temperature_c if hot else None,
        soak_min=(hot.soak_min or hot.time_min) if hot else None,
        cycles=cycles or None, section_mm=blade.spine_mm, tempers=tempers,
        carburised=home.carburised, blade=blade.id,
    )  # fmt: skip


def _last(steps: tuple[Step, ...], kind: str) -> Step | None:
    return next((step for step in reversed(steps) if step.kind == kind), None)


def _tempers(steps: tuple[Step, ...], readings: tuple[HardnessSeen, ...]) -> tuple[TemperSeen, ...]:
    """The tempers of a treatment; the blade's hardness was read after the last of them."""
    told = [
        TemperSeen(step.temperature_c, step.time_min or step.soak_min, step.repeats)
        for step in steps
        if step.kind == "temper"
    ]
    if readings:
        last = told.pop() if told else TemperSeen()
        told.append(replace(last, hardness=readings, for_use=True))
    return tuple(told)


def _readings(blade: Blade) -> tuple[HardnessSeen, ...]:
    """A blade's hardness as it was read: numbers and its bracket of files."""
    found = [HardnessSeen(hrc, hrc, by_files=False) for hrc in blade.hardness_hrc]
    if blade.hardness_files is not None:
        found.append(HardnessSeen(blade.hardness_files.skates, blade.hardness_files.bites))
    return tuple(found)


def medium_in_words(text: str) -> tuple[str | None, float | None]:
    """A quench as a heat treatment tells it, such as "warm oil, 60 °C": the medium and its °C."""
    words = normal(text).casefold()
    degrees = None
    for part in words.split(","):
        try:
            degrees = parse_quantity(part.strip(), "c")
        except Unreadable:
            continue
    for medium in ("brine", "oil", "air", AS_BOUGHT):
        if medium in words:
            return medium, degrees
    if "water" in words:
        warm = "warm" in words or (degrees is not None and degrees >= WARM_WATER_C)
        return "warm_water" if warm else "water", degrees
    return None, degrees
