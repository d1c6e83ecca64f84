"""Which edge angles of a study may stand for one side where both were measured, or the reverse?"""

from collections.abc import Iterator

from edgetest.errors import UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.records import STUDY_FILE, Study
from edgetest.study.words import listed

LEAST_ANGLES = 3  # of fewer edges nobody can say which is the odd one. Own choice
WIDEST_SIDE_DEG = 30.0  # of edges that chop, cut or carve (common practice, no source)
NEAR_DEG = 1.0  # included; a protractor reads no finer (common practice, no source)


def asked_of_angles(study: Study) -> Iterator[UnusableInput]:
    """Edges twice, or half, as wide as all the others, or all of them as the protocol asks."""
    noted = [
        (number, blade, blade.included_angle_deg)
        for number, blade in enumerate(study.blades, 1)
        if blade.included_angle_deg is not None
    ]
    odd = list(_the_odd_one(noted))
    if noted:
        odd += _all_of_them(noted, study.rules.edge_preparation.included_angle_deg)
    yield from odd or _too_wide(noted)


def _the_odd_one(noted: list[tuple[int, Blade, float]]) -> Iterator[UnusableInput]:
    """The one blade whose edge is twice, or half, as wide as the edge that all others have."""
    for number, blade, angle in noted:
        others = {other for _, each, other in noted if each.id != blade.id}
        if len(noted) < LEAST_ANGLES or len(others) > 1:
            continue
        (other,) = others
        if angle in (2 * other, other / 2):
            key, mend = _other_way(blade)
            what = f"{blade.angle_words()}, where all others have {other:g}° included"
            yield UnusableInput(what, f"{STUDY_FILE}, blades {number} ({blade.id}), {key}", mend)


def _all_of_them(
    noted: list[tuple[int, Blade, float]], wish: float | None
) -> Iterator[UnusableInput]:
    """Angles that are all twice, or all half, of what the protocol asks, typed one way."""
    ways = {_other_way(blade) for _, blade, _ in noted}
    if wish is None or len(ways) > 1:
        return
    ((key, mend),) = ways
    times = 0.5 if key == "included_angle_deg" else 2.0  # of one side noted as both, or the reverse
    if all(abs(angle - times * wish) <= NEAR_DEG for _, _, angle in noted):
        edges = f"all edges with an angle ({listed(blade.id for _, blade, _ in noted)})"
        what = (
            f"{noted[0][1].angle_words()} on {edges}, {'half' if times < 1 else 'twice'} what the "
            f"protocol asks for, {wish:g}° included"
        )
        yield UnusableInput(what, f"{STUDY_FILE}, blades, {key}", mend)


def _too_wide(noted: list[tuple[int, Blade, float]]) -> Iterator[UnusableInput]:
    """Edges that per side are as wide as others are over both sides."""
    for number, blade, _ in noted:
        side = blade.angle_per_side_deg
        if side is not None and side > WIDEST_SIDE_DEG:
            key, mend = _other_way(blade)
            what = f"{blade.angle_words()}, and few edges are wider than {WIDEST_SIDE_DEG:g}° per "
            what += f"side; is {side:g}° the angle over both sides?"
            yield UnusableInput(what, f"{STUDY_FILE}, blades {number} ({blade.id}), {key}", mend)


def _other_way(blade: Blade) -> tuple[str, str]:
    """The key of a blade's angle, and what to do if it was measured the other way."""
    if blade.angle_per_side_deg is None:
        return "included_angle_deg", "if it was measured on one side, name it angle_per_side_deg"
    return "angle_per_side_deg", "if it was measured over both sides, name it included_angle_deg"
