"""Put what was read at the bench on disk, and set right what was mistaken."""

from dataclasses import dataclass, replace
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.history import read_history
from edgetest.store.journal import append_reading, correct_reading
from edgetest.store.log_sheet import open_sheet
from edgetest.store.workspace import save_photograph
from edgetest.study.bench.change_words import cell_words
from edgetest.study.bench.session_file import change_roll, read_session
from edgetest.study.photos.measure_changed import measure_tasks, waiting_tasks
from edgetest.study.photos.photo_result import PhotoResult
from edgetest.study.sources import open_source
from edgetest.study.wear.photo_values import W30, reading_of_photo
from edgetest.study.wear.study_photos import photo_tasks

# What happens at a bench; each goes to the log's column of mishaps or of notes.
MISHAPS = (
    "hit the board or clamp",
    "edge twisted in the cut",
    "medium slipped",
    "wire edge seen",
    "blade dropped or knocked",
)
NOTES = ("new place on the board", "other hand", "edge wiped")


@dataclass(frozen=True)
class Entry:
    """One reading as it stands in the log, with what tells its row from another."""

    row: int
    column: str
    text: str
    keys: dict[str, str]
    excluded: str = ""

    def label(self, names, rules):
        """The reading as a person picks it out; `names` are what the screen calls blades."""
        keys = self.keys
        parts = [names.get(keys.get("blade", ""), keys.get("blade", "")), keys.get("block", "")]
        parts.append(f"{keys.get('cuts', '')} cuts")
        parts.append(f"station {keys['station_mm']} mm" if keys.get("station_mm") else "")
        parts.append(f"check {keys['check_no']}" if keys.get("check_no") else "")
        place = ", ".join(part for part in parts if part)
        out = " (left out)" if self.excluded else ""
        return f"{place}: {cell_words(self.column, self.text, rules)}{out}"


def record(folder, action, due, value):
    """Put one reading on disk; it is there on return.

    Parameters
    ----------
    folder : str or Path
        The study.
    action : Action
        What was asked for: blade, block and stage.
    due : Due
        The reading.
    value : str
        As typed: "12.5", "<8", ">40", "8-10", a grade, "pass" or "fail".

    Returns
    -------
    Change or None
        None where the log says exactly this already, as after a page that was sent twice.

    Raises
    ------
    UnusableInput
        If the reading cannot be read, or the log says something else already (both versions
        are named): another device was faster.
    """
    row = _place(folder, action, due) | {due.name: value}
    _name_the_roll(folder, row)
    try:
        return append_reading(folder, row, doubled="refused")
    except UnusableInput:
        if _stands(folder, row, due.name, value):
            return None
        raise


def remark(folder, action, *, note="", mishap=""):
    """Put a note or mishap on disk as a row of its own, at the count where it happened."""
    row = {"blade": action.blade, "block": action.block, "cuts": action.cuts_done}
    return append_reading(folder, row | {"note": note, "mishap": mishap})


def next_roll(folder, action, name):
    """Go on with another roll: what is cut from here on was cut on it.

    Where cuts were made since the last reading, the edge is read here first, so that this stage
    ends the roll.

    Parameters
    ----------
    folder : str or Path
    action : Action
        What is due: at which count the run stands.
    name : str
        Of the roll that comes.
    """
    between = action.kind == "cut" and action.cuts_done > action.read_to
    change_roll(folder, action.run, name, action.cuts_done, read=between)


def save_station_photo(source, action, due, data, filename):
    """Save a photograph of a station and name it in the log; both are on disk on return.

    A photograph that was refused before gives way to this one; its file stays in the folder
    and its name in the history.

    Parameters
    ----------
    source : Source
        The study as the page showed it.
    action : Action
    due : Due
        What a photograph of one station gives.
    data : bytes
        The picture as the camera made it.
    filename : str
        Its name there; only the ending is kept.

    Returns
    -------
    str
        Its name in the folder photos; `measure_one` measures it.

    Raises
    ------
    UnusableInput
        If it is no picture, or the log names another photograph by now.
    """
    from edgetest.store.images import read_picture

    read_picture(data, name=filename)
    return place_photo(source, action, due, data, filename)


def place_photo(source, action, due, data, filename):
    """As `save_station_photo`, of a picture that is known to be one."""
    name = save_new_photo(source.path, action, due, data, filename)
    before = _refused_row(source, action, due)
    if before is not None:
        correct_reading(source.path, before.line, "photo", name, was=before.photo)
    else:
        row = _place(source.path, action, due)
        _name_the_roll(source.path, row)
        cells = {"photo": name, "scale": due.set_up}
        append_reading(source.path, row | cells, doubled="refused")
    return name


def measure_one(source, name):
    """Measure one photograph of the log, or take what was measured of it before."""
    tasks = [task for task in photo_tasks(source)[0] if task.name == name]
    (result,) = measure_tasks(tasks, source.path)
    return result


def stage_photos(source, run, stage):
    """The photographs of a run at a stage that are measured, with their numbers, by station.

    Nothing is measured here: a photograph that waits for it is not among them.

    Parameters
    ----------
    source : Source
    run : (str, str)
        Block and blade.
    stage : int
        Cuts.

    Returns
    -------
    tuple of PhotoResult
    """
    rows = {row.photo: row for row in _photo_rows(source, run) if row.cuts == stage}
    tasks = [task for task in photo_tasks(source)[0] if task.name in rows]
    waiting = {task.path for task in waiting_tasks(tasks, source.path)}
    measured = [task for task in tasks if task.path not in waiting]
    found: list[PhotoResult] = []
    for result in measure_tasks(measured, source.path):
        row = rows[result.photo]
        found.append(
            replace(result, blade=row.blade, cuts=float(row.cuts), station_mm=row.station_mm)
        )
    return tuple(sorted(found, key=lambda each: each.station_mm or 0))


def waiting_photos(source, run):
    """The photographs of a run that are not measured, or not as they would be now.

    Returns
    -------
    list of Task
    """
    names = {row.photo for row in _photo_rows(source, run)}
    tasks = [task for task in photo_tasks(source)[0] if task.name in names]
    return waiting_tasks(tasks, source.path)


def _photo_rows(source, run):
    return [row for row in source.log.rows if row.photo and (row.block, row.blade) == run]


def entries(source, run=None):
    """Readings as they stand in the log's file, the last that was entered or changed first.

    Parameters
    ----------
    source : Source
    run : (str, str), optional
        Only this block and blade.

    Returns
    -------
    tuple of Entry
    """
    sheet = open_sheet(Path(source.path), "log")
    names = [*(rule.name for rule in source.protocol.readings), "photo"]
    found = []
    for row in source.log.rows:
        if run is not None and (row.block, row.blade) != run:
            continue
        cells = sheet.cells(row.line)
        keys = {k: cells.get(k, "") for k in ("blade", "block", "cuts", "station_mm", "check_no")}
        found += [
            Entry(row.line, name, cells[name], keys, row.exclude) for name in names if name in cells
        ]
    when = {
        (change.row, name): number
        for number, change in enumerate(read_history(source.path))
        for name, cell in (change.after or {}).items()
        if (change.before or {}).get(name) != cell
    }
    return tuple(
        sorted(found, key=lambda e: (when.get((e.row, e.column), -1), e.row), reverse=True)
    )


def correct_entry(folder, entry, value):
    """Put another value in the place of a reading; the old one stays in the history.

    Raises
    ------
    UnusableInput
        If the value cannot be read, or the log no longer says what was shown (both named).
    """
    of = _told(entry.keys)
    return correct_reading(folder, entry.row, entry.column, value, was=entry.text, of=of)


def leave_entry_out(folder, entry, reason):
    """Leave a row out of the answer for a reason; it stays visible with it."""
    of = _told(entry.keys)
    return correct_reading(folder, entry.row, "exclude", reason, was=entry.excluded, of=of)


def _place(folder, action, due):
    """The cells that say where a reading belongs, and the roll where it was changed in mid-run."""
    roll = read_session(folder).roll(action.run, action.stage)
    return {
        **({"batch": roll} if roll else {}),
        "blade": action.blade,
        "block": action.block,
        "cuts": action.stage,
        "station_mm": due.station_mm,
        "check_no": due.check_no,
    }


def _name_the_roll(folder, place):
    """Write the roll that a run went on with over the planned one, in the row that waits for it.

    Else the reading stood in a row of its own, and the planned one stayed blank.
    """
    if "batch" not in place:
        return
    sheet = open_sheet(Path(folder), "log")
    for row in open_source(folder).log.rows:
        cells = sheet.cells(row.line)
        keys = {k: cells.get(k, "") for k in ("blade", "block", "cuts", "station_mm", "check_no")}
        was = cells.get("batch", "")
        if row.waiting and was not in ("", place["batch"]) and _same_place(keys, place):
            correct_reading(folder, row.line, "batch", place["batch"], was=was, of=_told(keys))


def _told(keys):
    return {name: cell for name, cell in keys.items() if cell}


def _stands(folder, place, name, value):
    """Whether the log says exactly this reading already."""
    return any(
        entry.column == name
        and entry.text.replace(",", ".") == " ".join(str(value).split()).replace(",", ".")
        and _same_place(entry.keys, place)
        for entry in entries(open_source(folder))
    )


def _same_place(keys, place):
    def number(text):
        return float(str(text).replace(",", ".")) if text not in ("", None) else None

    return (
        keys["blade"] == place["blade"]
        and keys["block"] == place["block"]
        and number(keys["cuts"]) == number(place["cuts"])
        and number(keys["station_mm"]) == number(place["station_mm"])
        and (number(keys["check_no"]) or 1) == (number(place["check_no"]) or 1)
    )


def _refused_row(source, action, due):
    """The row whose photograph is due again, if one is."""
    for row in source.log.rows:
        same = (row.block, row.blade, row.cuts) == (*action.run, action.stage)
        seen = row.photo and reading_of_photo(source.study, row) == due.name
        if same and row.station_mm == due.station_mm and seen and due.name not in row.readings:
            return row
    return None


def _photo_name(action, due, filename):
    """A file's name that says what it shows; the blade by what the screen calls it."""
    ending = filename.rpartition(".")[2].lower() if "." in filename else "jpg"
    block = f"_{action.block}" if action.block else ""
    place = f"_{due.station_mm:03.0f}" if due.station_mm is not None else ""
    lamps = "_lamps" if due.name == W30 else ""
    stem = f"{action.name}{block}_{action.stage:04d}{place}{lamps}"
    return "".join(c for c in stem if c.isalnum() or c in "_-"), ending


def save_new_photo(folder, action, due, data, filename):
    """Save a photograph of a station under the first name that is free; returns it."""
    stem, ending = _photo_name(action, due, filename)
    for number in range(1, 1000):
        again = f"_{number}" if number > 1 else ""
        try:
            return save_photograph(folder, f"{stem}{again}.{ending}", data).name
        except UnusableInput:  # another photograph has this name
            continue
    raise UnusableInput("a thousand photographs of one station", stem, "tidy the folder photos")
