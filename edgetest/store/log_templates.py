"""The empty log of a new study: a row for every reading that the protocol asks for."""

from collections.abc import Sequence

from edgetest.errors import UnusableInput
from edgetest.store.protocol import Protocol, ReadingRule


def empty_table(
    blades: list[str], rules: Protocol, readings: Sequence[str] = ()
) -> tuple[str, list[list[str]]]:
    """Name and rows of a protocol's empty log: one row a blade, stage and station (or chop).

    Parameters
    ----------
    blades : list of str
        Ids.
    rules : Protocol
    readings : sequence of str, optional
        Only these get rows; all that the protocol asks for, if not given.

    Raises
    ------
    UnusableInput
        If the protocol has no such reading.
    """
    if rules.log == "chops":
        return "chops", _chops_template(blades, rules)
    known = [rule.name for rule in rules.readings]
    for name in readings:
        if name not in known:
            mend = f"write one of {', '.join(known)}"
            raise UnusableInput(f'"{name}" is no reading of {rules.id}', "reading", mend)
    asked = [rule for rule in rules.readings if not readings or rule.name in readings]
    return "log", _log_template(blades, rules, asked)


def _log_template(
    blades: list[str], rules: Protocol, asked: Sequence[ReadingRule]
) -> list[list[str]]:
    """A row for every check: at each station, and beside them what is read once a stage."""
    names = [rule.name for rule in rules.readings]
    photo = photo_columns(names)
    columns = ["blade", "cuts", "station_mm", "check_no", *names, *photo, "batch", "block",
               "operator", "mishap", "exclude", "note"]  # fmt: skip
    places: list[tuple[str, str]] = []
    for stations, at_stations in (([""], False), (rules.stations_mm, True)):
        checks = [rule.repeats for rule in asked if rule.at_stations == at_stations]
        most = max(checks, default=0)
        numbers = [str(n) for n in range(1, most + 1)] if most > 1 else [""] * most
        places += [
            (station if station == "" else f"{station:g}", number)
            for station in stations
            for number in numbers
        ]
    blank = [""] * (len(columns) - 4)
    rows = [
        [blade, str(stage), station, number, *blank]
        for stage in rules.stages
        for blade in blades
        for station, number in places
    ]
    return [columns, *rows]


def photo_columns(names: list[str]) -> list[str]:
    """Columns for what photographs give: their names, and the set-up where there may be two."""
    if "w30_um" in names:
        return ["photo", "scale"]
    return ["photo"] if "edge_width_um" in names else []


def _chops_template(blades: list[str], rules: Protocol) -> list[list[str]]:
    """A look at each edge, the pieces each blade severs in turn, the tests that close the day."""
    columns = ["blade", "kind", "order", "block", "species", "moisture_pct", "width_mm",
               "thickness_mm", "orientation", "length_mm", "mass_g",
               *(rule.name for rule in rules.readings), "rolls_count", "notch_angle_deg",
               "near_misses", "photo", "scale", "operator", "mishap", "exclude",
               "note"]  # fmt: skip
    columns = list(dict.fromkeys(columns))
    # Without a look beforehand an old nick would pass for damage of the test.
    turns = [("inspection", 0)] if "inspection" in rules.closing else []
    turns += [(kind, stage) for stage in rules.stages for kind in rules.chop_kinds]
    turns += [(kind, 1) for kind in rules.closing]
    blank = [""] * (len(columns) - 3)
    rows = [[blade, kind, str(order), *blank] for kind, order in turns for blade in blades]
    return [columns, *rows]
