"""Were two heats told alike, or was one of them thicker or plainly colder?"""

from edgetest.steel.phase_limits import A1_C
from edgetest.steel.steel_seen import COLOURS, HeatSeen
from edgetest.steel.surely import all_harder, comparable

THICKER = 1.5  # sections further apart explain a difference in hardness; common practice
DARK = ("below_red", "dull_red")  # below A1 by the colour tables of the trade, from memory
TANKS_APART_C = 50.0  # warm oil and oil that cools by far more slowly; our choice
TWICE = 2.0  # soaks so far apart are not alike; our choice
ALIKE_C = 30.0  # thermometers and eyes of a shop agree no better; common practice
# Heats of one thermometer that are not one heat; below the step of about 30 °C that a soft heat is
# bidden to be hotter by, or of 50 °F; our choice
PLAINLY_HOTTER_C = 20.0


def thicker(one: HeatSeen, other: HeatSeen):
    """Whether the section alone may have left `one` softer."""
    if one.section_mm is None or other.section_mm is None:
        return False
    return one.section_mm >= THICKER * other.section_mm


def colder_by_far(one: HeatSeen, other: HeatSeen):
    """Whether `one` was told too cold to harden and the other hot enough: no quench alike."""
    return _told_cold(one) and told_hot(other)


def cold_words(heat: HeatSeen, *, hard: bool):
    """Why a heat is made again hotter, and what a coarse break asks for before it.

    A coarse grain comes of a heat that was too hot, a soft coupon of one too cold: both may be
    true of a piece that was coarse as it was found. Common practice, no source.
    """
    told = (
        "It may have been too cold to harden fully."
        if hard
        else "It may have been too cold to harden: that it is soft says little of the steel."
    )
    if heat.grain != "coarse":
        return told
    return (
        f"{told} Its break was coarse all the same, from an earlier heat that was too hot, or from"
        " this one: normalise it first, then quench hotter, and break it again."
    )


def _told_cold(heat):
    """Whether magnet, else thermometer, else eye, told a heat that hardens no steel."""
    if heat.magnet is not None:
        return heat.magnet == "holds"
    if heat.heat_c is not None:
        return heat.heat_c + ALIKE_C < A1_C
    return heat.colour in DARK


def told_hot(heat):
    """Whether the same told one from which steel hardens."""
    if heat.magnet is not None:
        return heat.magnet == "lets_go"
    if heat.heat_c is not None:
        return heat.heat_c - ALIKE_C > A1_C
    return heat.colour is not None and heat.colour not in DARK


def hotter_by_eye(one: HeatSeen, other: HeatSeen):
    """Whether `one` was told a brighter colour, and no thermometer says otherwise."""
    if one.colour is None or other.colour is None:
        return False
    if one.heat_c is not None or other.heat_c is not None:
        return False
    return COLOURS.index(one.colour) > COLOURS.index(other.colour)


def had_more_heat(soft: HeatSeen, hard: HeatSeen):
    """Whether the harder of two heats was plainly the hotter, or soaked twice as long as hot."""
    if soft.heat_c is None or hard.heat_c is None:
        return False
    short_min, long_min = soft.soak_min or 0.0, hard.soak_min or 0.0
    longer = short_min > 0 and long_min >= TWICE * short_min
    more_c = hard.heat_c - soft.heat_c
    return more_c >= PLAINLY_HOTTER_C or (longer and more_c >= 0)


def quenched_alike(one: HeatSeen, other: HeatSeen):
    """Whether two heats were told from one heat, by instrument or colour, into one medium."""
    if one.medium != other.medium or colder_by_far(one, other) or colder_by_far(other, one):
        return False
    if one.heat_c is None and other.heat_c is None:
        return one.colour is not None and one.colour == other.colour
    if one.heat_c is None or other.heat_c is None:
        return False
    return abs(one.heat_c - other.heat_c) <= ALIKE_C


def _tanks_apart(one, other):
    """Whether the tanks of two quenches were told of plainly different warmth."""
    told = None not in (one.medium_c, other.medium_c)
    return told and abs(one.medium_c - other.medium_c) > TANKS_APART_C


def _soaks_apart(one, other):
    """Whether two soaks were told of which one was twice as long."""
    short, long = sorted((one.soak_min or 0.0, other.soak_min or 0.0))
    return short > 0 and long >= TWICE * short


def _magnets_agree(one, other):
    """Whether a magnet said the same of both, or of one alone whose heat is told otherwise too."""
    said = {one.magnet, other.magnet}
    otherwise = None not in (one.heat_c, other.heat_c) or None not in (one.colour, other.colour)
    return len(said) == 1 or (otherwise and said == {None, "lets_go"})


def told_alike(one: HeatSeen, other: HeatSeen):
    """Whether two heats were told alike: medium, heat within its reading, soak and section."""
    told = (one.heat_c is not None and other.heat_c is not None) or one.colour == other.colour
    near = one.heat_c is None or other.heat_c is None or abs(one.heat_c - other.heat_c) <= ALIKE_C
    thick = thicker(one, other) or thicker(other, one)
    same = one.medium == other.medium and not _tanks_apart(one, other)
    same = same and _magnets_agree(one, other)
    apart = thick or _soaks_apart(one, other)
    return same and told and near and not apart and one.carburised == other.carburised


def apart_though_alike(one: HeatSeen, other: HeatSeen):
    """(hard, soft) of two heats told alike, where no more heat of the hard one explains it."""
    for hard, soft in ((one, other), (other, one)) * told_alike(one, other):
        harder = all_harder(*comparable(hard.hardness, soft.hardness))
        if harder and not had_more_heat(soft, hard):
            yield hard, soft


def repeated(heats, own):
    """Whether a further coupon was told alike to one of several heats, and read."""
    further = [one for one in own if one not in heats and one.hardness] * (len(heats) > 1)
    return any(told_alike(one, heat) for one in further for heat in heats)


def as_hard_since(soft: HeatSeen, hard: HeatSeen, heats):
    """That a later heat of the softer piece, quenched so, came out no softer; "" for none.

    Its first heat was the odd one then, and not the steel.
    """
    later = heats[heats.index(soft) + 1 :]
    mine = [one for one in later if (one.piece, one.medium) == (soft.piece, hard.medium)]
    for one in (each for each in mine if each.carburised == hard.carburised):
        here, there = comparable(one.hardness, hard.hardness)
        if here and not all_harder(there, here):
            return (
                f"It is past: coupon {one.coupon}, heat {one.heat}, of {soft.piece} came out at "
                f"least as hard as that of {hard.piece}, as far as the readings tell."
            )
    return ""


def grain_seen(heats, heat):
    """Whether the break of this heat was seen, or that of a coupon quenched alike."""
    return any(
        one.grain is not None or one.fracture is not None
        for one in heats
        if one == heat or quenched_alike(one, heat)
    )


def coarse_like(heats, heat):
    """Whether the last break of this heat, or of a coupon quenched alike, was coarse."""
    seen = [
        one.grain for one in heats
        if one.grain is not None and (one == heat or quenched_alike(one, heat))
    ]  # fmt: skip
    return seen[-1:] == ["coarse"]


def coarse_since(heat, heats):
    """The last heat of the same coupon where that came later and broke coarse; else None."""
    last = [one for one in heats if one.coupon == heat.coupon][-1:]
    return next((one for one in last if one != heat and one.grain == "coarse"), None)


def made_alike(heat: HeatSeen, heats):
    """How many of a piece's heats were told alike to this one and came out so, itself among them.

    Parameters
    ----------
    heat : HeatSeen
    heats : sequence of HeatSeen
        Of the piece, each once.

    Returns
    -------
    int
    """
    if not heat.hardness:
        return 1
    return sum(one == heat or _came_out_alike(one, heat) for one in heats)


def _came_out_alike(one, other):
    """Whether two heats told alike were read, neither harder, and their breaks agree."""
    here, there = comparable(one.hardness, other.hardness)
    if not (here and told_alike(one, other)) or {one.grain, other.grain} == {"coarse", "fine"}:
        return False
    return not (all_harder(here, there) or all_harder(there, here))
