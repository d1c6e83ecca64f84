"""The empty log of a study: a row for every reading of the protocol, in the order of the bench."""

from collections.abc import Iterator, Sequence

from edgetest.errors import UnusableInput
from edgetest.store.chop_log import SEVERED
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
        Only these get rows and columns; all that the protocol asks for, if not given.

    Raises
    ------
    UnusableInput
        If the protocol has no such reading.
    """
    known = [rule.name for rule in rules.readings]
    for name in readings:
        if name not in known and rules.log != "chops":
            mend = f"write one of {', '.join(known)}"
            raise UnusableInput(f'"{name}" is no reading of {rules.id}', "reading", mend)
    return planned_table([("", blade) for blade in blades], rules, readings)


def planned_table(
    runs: Sequence[tuple[str, str]], rules: Protocol, readings: Sequence[str] = ()
) -> tuple[str, list[list[str]]]:
    """Name and rows of the empty log of runs that are planned, in the order of the bench.

    Under each roll, board or day the blades come in turn at every stage; of pieces to sever each
    board gives one to every blade.

    Parameters
    ----------
    runs : sequence of (str, str)
        Block ("" where there is none) and blade, in the order in which they are cut.
    rules : Protocol
    readings : sequence of str, optional
        Only these get rows; all that the protocol asks for, if not given.
    """
    of_block: dict[str, list[str]] = {}
    for block, blade in runs:
        of_block.setdefault(block, []).append(blade)
    if rules.log == "chops":
        return "chops", _chops_template(of_block, rules)
    asked = [rule for rule in rules.readings if not readings or rule.name in readings]
    return "log", _log_template(of_block, rules, asked)


def _log_template(
    of_block: dict[str, list[str]], rules: Protocol, asked: Sequence[ReadingRule]
) -> list[list[str]]:
    """A row for every check: at each station, and beside them what is read once a stage."""
    names = [rule.name for rule in asked]
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
    before = [""] * (columns.index("block") - 4)
    after = [""] * (len(columns) - columns.index("block") - 1)
    rows = [
        [blade, str(stage), station, number, *before, block, *after]
        for block, blades in of_block.items()
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


def _chops_template(of_block: dict[str, list[str]], rules: Protocol) -> list[list[str]]:
    """A look at each edge, the pieces each blade severs in turn, the tests that close the day."""
    pole = ["diameter_mm"] * ("billet" in rules.chop_kinds)  # a billet may be round
    columns = ["blade", "kind", "order", "block", "board", "species", "moisture_pct", "knots",
               "nominal", "width_mm", "thickness_mm", *pole, "orientation", "length_mm", "mass_g",
               *(rule.name for rule in rules.readings), "rolls_count", "notch_angle_deg",
               "near_misses", "photo", "scale", "operator", "mishap", "exclude",
               "note"]  # fmt: skip
    columns = list(dict.fromkeys(columns))
    if all(of_block) and set(rules.chop_kinds) & set(SEVERED):
        return [columns, *_by_boards(of_block, rules, len(columns))]
    # Without a look beforehand an old nick would pass for damage of the test.
    turns = [("inspection", 0)] if "inspection" in rules.closing else []
    turns += [(kind, stage) for stage in rules.stages for kind in rules.chop_kinds]
    turns += [(kind, 1) for kind in rules.closing]
    blank = [""] * (len(columns) - 4)
    rows = [
        [blade, kind, str(order), block, *blank]
        for block, blades in of_block.items()
        for kind, order in turns
        for blade in blades
    ]
    return [columns, *rows]


def _by_boards(of_board: dict[str, list[str]], rules: Protocol, width: int) -> Iterator[list[str]]:
    """A look at every edge, board by board a piece with each blade in turn, the closing tests."""
    blades = list(dict.fromkeys(blade for those in of_board.values() for blade in those))

    def row(blade: str, kind: str, order: int, board: str = "") -> list[str]:
        return [blade, kind, str(order), "", board, *[""] * (width - 5)]

    if "inspection" in rules.closing:
        yield from (row(blade, "inspection", 0) for blade in blades)
    rounds = {board: _rounds(those) for board, those in of_board.items()}
    lack = max(len(rules.stages) - sum(map(len, rounds.values())), 0)
    each, more = divmod(lack, len(rounds))
    order = 0
    for place, (board, own) in enumerate(rounds.items()):
        for those in [*own, *[own[0]] * (each + (place < more))]:
            order += 1
            for kind in rules.chop_kinds:
                yield from (row(blade, kind, order, board) for blade in those)
    for kind in rules.closing:
        yield from (row(blade, kind, 1) for blade in blades)


def _rounds(blades: Sequence[str]) -> list[list[str]]:
    """The turns of one board a piece with each blade at a time; a blade may have several."""
    rounds: list[list[str]] = []
    for place, blade in enumerate(blades):
        before = blades[:place].count(blade)
        if before == len(rounds):
            rounds.append([])
        rounds[before].append(blade)
    return rounds
