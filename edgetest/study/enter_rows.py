"""How does what is typed at the prompt get into a study, and back out again?"""

import dataclasses
from contextlib import contextmanager
from itertools import groupby, takewhile
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import csv_text, write_atomic
from edgetest.store.history import IN_THE_FILE, TABLES, Change, last_standing, read_history
from edgetest.store.journal import append_reading, replace_cells, undo_last
from edgetest.store.log_sheet import KEYS
from edgetest.store.log_templates import empty_table
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.store.workspace import log_path
from edgetest.study.asked_about import asked_about, asked_of_last
from edgetest.study.bench.change_words import change_words
from edgetest.study.facts.enter_blade import enter_blade
from edgetest.study.facts.facts_told import facts_in_words
from edgetest.study.facts.set_facts import last_facts, undo_facts
from edgetest.study.order_told import order_told
from edgetest.study.sources import open_source
from edgetest.study.steel.enter_evidence import EVIDENCE, enter_evidence
from edgetest.study.steel.steel_rows import steel_rows_of
from edgetest.study.steel.take_evidence import take_evidence
from edgetest.study.steel.told_at_entry import new_piece_asked, rows_changed, told_of_rows
from edgetest.study.wear.study_looks import told_after_the_end
from edgetest.study.words import listed

# Facts of a blade that study.toml says once, and that are no column of a planned log.
FACTS = (
    "heat_treatment", "steel", "piece", "title", "edge_finish", "angle_per_side_deg",
    "included_angle_deg", "hardness_hrc", "hardness_files", "hardness_target_hrc",
    "thickness_behind_edge_mm",
)  # fmt: skip
ROWS_TOLD = 5  # of those that one save of the file changed


def cells_of(words) -> dict[str, str]:
    """`blade=H1 cuts=50` as cells by column, as typed.

    Raises
    ------
    UnusableInput
        If a word has no `=`, or a column stands twice.
    """
    cells: dict[str, str] = {}
    words = list(words)
    for number, word in enumerate(words):
        name, mark, value = word.partition("=")
        name = name.strip().casefold()
        if not mark or not name:
            mend = "write column=value, as in cuts=50"
            if number and not mark:
                more = takewhile(lambda each: "=" not in each, words[number:])
                whole = " ".join([words[number - 1], *more])
                mend += f"; a value with a blank in it stands in quotes: '{whole}'"
            lacks = "nothing before its =" if mark else "no ="
            raise UnusableInput(f'"{word}" has {lacks}', "edgetest enter", mend)
        if name in cells:
            raise UnusableInput(f"{name} stands twice", "edgetest enter", "give it once")
        cells[name] = value.strip()
    return cells


def enter(
    folder, cells, *, evidence=None, blade=None, replace=False, remove=False
) -> Change | None:
    """Put one row into the log of a study or its evidence, or facts of a blade; on disk on return.

    Parameters
    ----------
    folder : str or Path
    cells : dict of str to str
        By column (of evidence: by key of study.toml), as typed.
    evidence : {"pieces", "heats", "tempers", "trials", "known"}, optional
        The table of evidence; a row of the log, if not given.
    blade : str, optional
        The blade whose facts in study.toml these are.
    replace : bool
        Whether what says something else is corrected; of a log only in a row that stands.
    remove : bool
        Whether the row of evidence that says all of it is taken out again.

    Returns
    -------
    Change or None
        None where all of it stands there already.

    Raises
    ------
    UnusableInput
        If the row cannot be read, or says otherwise than what stands there; nothing is
        written then.
    """
    if blade is not None:
        if remove or evidence is not None:
            mend = "give it with column=value, and --replace where something else stands"
            raise UnusableInput("--blade is for facts of a blade", "edgetest enter", mend)
        return enter_blade(folder, blade, cells, replace=replace)
    if remove:
        _refuse_to_remove(evidence, replace)
        return take_evidence(folder, evidence, cells)
    if evidence is not None:
        return enter_evidence(folder, evidence, cells, replace=replace)
    study = load_study(folder)
    if study.of_steel and not study.blades:
        raise UnusableInput(
            "this study has no log, it is of a steel", str(folder),
            f"say what the row is of: --evidence {', '.join(EVIDENCE)}",
        )  # fmt: skip
    table = "chops" if study.rules.log == "chops" else "log"
    _refuse_facts(cells, study, table)
    if not replace:
        _refuse_empty(cells, table)
    if table == "chops":
        _refuse_wood(cells, study)
    if replace:
        return replace_cells(folder, cells, table=table)
    if study.rules.log != "chops":
        return append_reading(folder, cells, table="log", doubled="refused")
    with _log_of_chops(folder, study):
        return append_reading(folder, cells, table="chops", doubled="refused")


def _refuse_facts(cells, study, table):
    """Refuse what is no reading but a fact of the blade, which stands in study.toml once.

    The heat treatment is a column of a wear log too: beside a reading it is let pass.

    Raises
    ------
    UnusableInput
    """
    facts = [name for name in cells if name in FACTS]
    if any(name not in {*FACTS, *KEYS[table]} for name in cells):
        facts = [name for name in facts if name != "heat_treatment" or table != "log"]
    if facts and study.blades:
        raise UnusableInput(
            f"{listed(facts)}: of a blade, not of a row of its log",
            f"{STUDY_FILE}, blades{', ' + cells['blade'] if cells.get('blade') else ''}",
            f"give it with --blade {cells.get('blade') or 'ID'}, or on the page Blades of "
            "`edgetest app`: both keep what stood before in the history",
        )


def _refuse_wood(cells, study):
    """Refuse a wood whose name alone cannot be read, which would stop every answer of its log.

    Raises
    ------
    UnusableInput
    """
    if not cells.get("species"):
        return
    from edgetest.study.chop.piece_woods import wood_name_fault

    fault = wood_name_fault(cells["species"], study)
    if fault is not None:
        raise UnusableInput(fault.what, "chops.csv, the row, species", fault.mend)


def _refuse_empty(cells, table):
    """Refuse a row that says nothing but which one it is; a touch-up of a chop log says all.

    Raises
    ------
    UnusableInput
    """
    blank = [name for name, cell in cells.items() if not str(cell).strip()]
    if any(name not in KEYS[table] for name in cells.keys() - {*blank}):
        return
    if blank:
        raise UnusableInput(
            f"nothing stands behind {listed(f'{name}=' for name in blank)}", "the new row",
            "write the value there; to blank a cell name its row, and give --replace",
        )  # fmt: skip
    if table == "log":
        raise UnusableInput(
            f"it names its row ({', '.join(f'{name}={cell}' for name, cell in cells.items())}), "
            "and nothing that was read", "the new row", "add a reading, such as edge_width_um=7.5",
        )  # fmt: skip


def _refuse_to_remove(evidence, replace):
    """Refuse to take out a row of a log, and to take out and replace in one.

    Raises
    ------
    UnusableInput
    """
    if replace:
        raise UnusableInput(
            "--remove takes a row out and --replace keeps it", "edgetest enter", "give one of them"
        )
    if evidence is None:
        raise UnusableInput(
            "--remove takes out a row of evidence, not one of a log", "edgetest enter",
            "empty its readings with --replace, as in edge_width_um= with nothing behind the =, or "
            "take the row out of the log's file; the history keeps it",
        )  # fmt: skip


@contextmanager
def _log_of_chops(folder, study):
    """An empty chop log for a study that was written by hand; gone again where the row is."""
    if log_path(folder, "chops") is not None:
        yield
        return
    path = Path(folder) / "chops.csv"
    _, rows = empty_table([blade.id for blade in study.blades], study.rules)
    write_atomic(path, csv_text(rows[:1]).encode())
    try:
        yield
    except UnusableInput:
        path.unlink()
        raise


def last_of_all(folder) -> Change | None:
    """The change that `undo_row` would take back: the last of log, chops and study.toml."""
    history = read_history(folder)
    last = [last_standing(history, table) for table in TABLES] + [last_facts(folder)]
    standing = [change for change in last if change is not None]
    return max(standing, key=lambda change: _place(history, change), default=None)


def undo_row(folder) -> Change:
    """Take back the last change of a study that was made in the program.

    Returns
    -------
    Change
        The one that was taken back.

    Raises
    ------
    UnusableInput
        If there is none, or its row was changed in the file since.
    """
    load_study(folder)
    last = last_of_all(folder)
    if last is None:
        raise UnusableInput(
            "nothing was entered in the program, so nothing can be undone", str(folder),
            "what was typed into a file is undone in that file",
        )  # fmt: skip
    if last.table in TABLES:
        taken = undo_last(folder, shown=last, table=last.table)
        return dataclasses.replace(last, row=taken.row)  # it may have moved in the file
    undo_facts(folder, last)
    return last


def change_told(folder, change) -> str:
    """A change in one line: where it stands, and what became of it."""
    if change is None:
        return "all of it stands there already: nothing was changed"
    if change.table not in TABLES:
        return f"{STUDY_FILE}: {facts_in_words(change)}"
    told = change_words(change, {}, load_study(folder).rules)
    return f"{change.table}.csv, row {change.row}: {told}"


def asked_of(folder, change) -> tuple[str, ...]:
    """What is wrong or can hardly be meant in a row that was entered, a line each."""
    if change is None:
        return ()
    if change.table not in TABLES:
        study = load_study(folder)
        places = rows_changed(change, steel_rows_of(study).piece_names)
        return (*told_of_rows(study, places), *new_piece_asked(study, change))
    source = open_source(folder)
    asked = [one for one in asked_about(source) if getattr(one, "row", None) == change.row]
    if change.table == "chops":  # what is told once a log, at its first row, is asked here too
        told = {getattr(one, "column", None) for one in asked}
        last = asked_of_last(source, table="chops")
        asked += [one for one in last if getattr(one, "column", None) not in told]
    return (
        *told_after_the_end(source, change),
        *order_told(source, change),
        *_faults_of_piece(source, change),
        *(f"asked: {one}" for one in asked),
    )


def _faults_of_piece(source, change):
    """What is wrong with the wood or size of a piece that was entered, as `check` tells it."""
    if change.table != "chops" or source.chops is None:
        return
    from edgetest.study.chop.piece_woods import wood_faults

    for fault in wood_faults(source.chops, source.study, line=change.row):
        yield f"fault: {fault}"


def history_of(folder):
    """Every change of a study, oldest first: when, by whom it was made, and in words.

    Returns
    -------
    list of (str, Change, str)
        When, in UTC; the change; what it was, in a line.
    """
    load_study(folder)
    told = []
    for change in read_history(folder):
        moment = change.when[:16].replace("T", " ")
        told.append((moment, change, change_told(folder, change)))
    return told


def history_lines(told):
    """The history a line each; of many rows that one save of the file changed, the first few.

    Parameters
    ----------
    told : list of (str, Change, str)
        As `history_of` tells them.

    Returns
    -------
    list of str
    """
    lines = []
    for (moment, in_file), group in groupby(told, lambda one: (one[0], one[1].what == IN_THE_FILE)):
        each = [f"{moment} UTC  {words}" for _, _, words in group]
        more = len(each) - ROWS_TOLD
        if in_file and more > 1:
            each = [*each[:ROWS_TOLD], f"{moment} UTC  and {more} more rows of the same change in "
                    "the file; --json lists them all"]  # fmt: skip
        lines += each
    return lines


def change_document(change) -> dict:
    """A change for JSON."""
    return {**change.to_dict(), "in_the_program": change.what != IN_THE_FILE}


def _place(history, change) -> int:
    """Where a change stands in the history; of two alike the last."""
    return max(k for k, each in enumerate(history) if each == change)
