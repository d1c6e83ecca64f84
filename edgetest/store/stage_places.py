"""Where in a wear log does a reading go whose stage was forgotten?"""

from collections.abc import Iterator, Mapping, Sequence

from edgetest.store.log_sheet import KEYS, Sheet, same_cell


def place_of_stage(sheet: Sheet, cells: Mapping[str, str]) -> int | None:
    """Number of the row that a reading belongs above; None: at the end.

    Behind all that was read of its run it goes above the rows of later stages that wait there.
    Where a later stage was read, only a stage at which something else was read has a place: cuts
    that stand nowhere in the log may be a slip, and the check refuses them behind later ones.

    Parameters
    ----------
    sheet : Sheet
        A wear log.
    cells : mapping
        Of the new row.
    """
    mine = _cuts(cells)
    if mine is None or "exclude" in cells:
        return None
    read = list(_read(sheet))
    own = [one for one in read if _of_one_run(one[2], cells)]
    if all(cuts <= mine for _, cuts, _ in own):
        return _first_that_waits(sheet, cells, mine, below=max((one[0] for one in own), default=0))
    if all(cuts != mine for _, cuts, _ in read):
        return None
    return _above_later(own, cells, mine)


def _above_later(
    own: Sequence[tuple[int, float, dict[str, str]]], cells: Mapping[str, str], mine: float
) -> int | None:
    """Number of the row behind those of earlier stages, above the first of a later one."""
    later = [line for line, cuts, met in own if cuts > mine and _of_one_place(met, cells)]
    if not later:
        return None
    before = [line for line, cuts, _ in own if line < later[0] and cuts <= mine]
    return before[-1] + 1 if before else later[0]


def _first_that_waits(
    sheet: Sheet, cells: Mapping[str, str], mine: float, *, below: int
) -> int | None:
    """Number of the first row of a later stage that waits for its reading, below one of its run."""
    for line, met in sheet.rows():
        cuts = _cuts(met)
        own = line > below and "exclude" not in met and _of_one_run(met, cells)
        if own and cuts is not None and cuts > mine and not sheet.answers(met, KEYS["log"]):
            return line
    return None


def _read(sheet: Sheet) -> Iterator[tuple[int, float, dict[str, str]]]:
    """Number, cuts and cells of the rows that hold a reading which was not left out."""
    for line, met in sheet.rows():
        cuts = _cuts(met)
        if cuts is not None and "exclude" not in met and sheet.answers(met, KEYS["log"]):
            yield line, cuts, met


def _cuts(met: Mapping[str, str]) -> float | None:
    """The cuts of a row; None where it has none that are a number."""
    try:
        return float(met.get("cuts", "").replace(",", "."))
    except ValueError:
        return None


def _of_one_run(met: Mapping[str, str], cells: Mapping[str, str]) -> bool:
    return all(met.get(name, "") == cells.get(name, "") for name in ("blade", "block"))


def _of_one_place(met: Mapping[str, str], cells: Mapping[str, str]) -> bool:
    """Whether two rows are of one station and one number of the check; no number is the first."""
    first = {"station_mm": "", "check_no": "1"}
    return all(same_cell(met.get(k, own), cells.get(k, own)) for k, own in first.items())
