"""Were two heats told alike, or was one of them thicker or plainly colder?"""

from edgetest.steel.steel_seen import HeatSeen

THICKER = 1.5  # sections further apart explain a difference in hardness; common practice
ALIKE_C = 30.0  # thermometers and eyes of a shop agree no better; common practice


def thicker(one: HeatSeen, other: HeatSeen):
    """Whether the section alone may have left `one` softer."""
    if one.section_mm is None or other.section_mm is None:
        return False
    return one.section_mm >= THICKER * other.section_mm


def colder_by_far(one: HeatSeen, other: HeatSeen):
    """Whether the magnet still held `one` and let go the other: no quench of the same kind."""
    return one.magnet == "holds" and other.magnet == "lets_go"


def quenched_alike(one: HeatSeen, other: HeatSeen):
    """Whether two heats were told from one heat, by instrument or colour, into one medium."""
    if one.medium != other.medium or colder_by_far(one, other) or colder_by_far(other, one):
        return False
    if one.heat_c is None and other.heat_c is None:
        return one.colour is not None and one.colour == other.colour
    if one.heat_c is None or other.heat_c is None:
        return False
    return abs(one.heat_c - other.heat_c) <= ALIKE_C


def told_alike(one: HeatSeen, other: HeatSeen):
    """Whether two heats were told alike: medium, heat within its reading, and section."""
    told = (one.heat_c is not None and other.heat_c is not None) or one.colour == other.colour
    near = one.heat_c is None or other.heat_c is None or abs(one.heat_c - other.heat_c) <= ALIKE_C
    thick = thicker(one, other) or thicker(other, one)
    same = one.medium == other.medium and one.magnet == other.magnet
    return same and told and near and not thick and one.carburised == other.carburised
