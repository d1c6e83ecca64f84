"""How does what is typed at the prompt get into a study, and back out again?"""

from dataclasses import replace
from shlex import quote

from edgetest.errors import UnusableInput, nearest
from edgetest.store.history import IN_THE_FILE, TABLES, Change, last_standing, read_history
from edgetest.store.journal import append_reading, undo_last
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.study.asked_about import asked_about
from edgetest.study.bench.bench_entry import change_words
from edgetest.study.facts.set_facts import add_entry, facts_in_words, last_facts, undo_facts
from edgetest.study.sources import open_source
from edgetest.study.steel.steel_rows import steel_rows_of

EVIDENCE = ("pieces", "heats", "tempers", "trials")
TRUTHS = {"yes": True, "no": False}
WORDED = {"coating", "lead", "magnet"}  # there "no" is one of the words
NAMES = ("id", "piece", "coupon", "blade", "lot", "note")  # text, also where they look like numbers
LISTS = ("hardness", "hardness_skin", "hardness_below")


def cells_of(words) -> dict[str, str]:
    """`blade=H1 cuts=50` as cells by column, as typed.

    Raises
    ------
    UnusableInput
        If a word has no `=`, or a column stands twice.
    """
    cells: dict[str, str] = {}
    for word in words:
        name, mark, value = word.partition("=")
        name = name.strip().casefold()
        if not mark or not name:
            raise UnusableInput(
                f'"{word}" has no =', "edgetest enter", "write column=value, as in cuts=50"
            )
        if name in cells:
            raise UnusableInput(f"{name} stands twice", "edgetest enter", "give it once")
        cells[name] = value.strip()
    return cells


def enter(folder, cells, *, evidence=None) -> Change:
    """Put one row into the log of a study, or into its evidence; on disk on return.

    Parameters
    ----------
    folder : str or Path
    cells : dict of str to str
        By column (of evidence: by key of study.toml), as typed.
    evidence : {"pieces", "heats", "tempers", "trials"}, optional
        The table of evidence; a row of the log, if not given.

    Raises
    ------
    UnusableInput
        If the row cannot be read, or says otherwise than what stands there; nothing is
        written then.
    """
    study = load_study(folder)
    if evidence is not None:
        row = {key: _typed(key, text) for key, text in cells.items() if text}
        _refuse_unknown_piece(folder, study, evidence, row)
        return add_entry(folder, ("evidence", evidence), row, check=steel_rows_of)
    if study.of_steel and not study.blades:
        raise UnusableInput(
            "this study has no log, it is of a steel", str(folder),
            f"say what the row is of: --evidence {', '.join(EVIDENCE)}",
        )  # fmt: skip
    table = "chops" if study.rules.log == "chops" else "log"
    return append_reading(folder, cells, table=table, doubled="refused")


def _refuse_unknown_piece(folder, study, evidence, row):
    """Refuse evidence on a piece that nobody noted: a slip of the name would be a piece of its own.

    Raises
    ------
    UnusableInput
    """
    noted = [piece.id for piece in steel_rows_of(study).pieces]
    piece = row.get("piece")
    if evidence == "pieces" or piece is None or piece in noted:
        return
    near = nearest(piece, noted)
    known = f'did you mean "{near}"? ' if near else f"known: {', '.join(noted)}; " if noted else ""
    note = f"edgetest enter {quote(str(folder))} --evidence pieces id={quote(piece)}"
    raise UnusableInput(
        f'the piece "{piece}" was not noted yet', "edgetest enter, piece",
        f"{known}note a new one first: {note}",
    )  # fmt: skip


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
        undo_last(folder, shown=last, table=last.table)
    else:
        undo_facts(folder, last)
    return last


def change_told(folder, change) -> str:
    """A change in one line: where it stands, and what became of it."""
    if change.table not in TABLES:
        return f"{STUDY_FILE}: {facts_in_words(change)}"
    told = change_words(change, {}, load_study(folder).rules)
    return f"{change.table}.csv, row {change.row}: {told}"


def asked_of(folder, change) -> tuple[str, ...]:
    """What is wrong or can hardly be meant in a row that was entered, a line each."""
    if change.table not in TABLES:
        return ()
    source = open_source(folder)
    asked = [one for one in asked_about(source) if getattr(one, "row", None) == change.row]
    return (*_faults_of_piece(source, change), *(f"asked: {one}" for one in asked))


def _faults_of_piece(source, change):
    """What is wrong with the wood or size of a piece that was entered, as `check` tells it."""
    if change.table != "chops" or source.chops is None:
        return
    from edgetest.study.chop.piece_woods import wood_faults

    mine = tuple(row for row in source.chops.rows if row.line == change.row)
    for fault in wood_faults(replace(source.chops, rows=mine), source.study):
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


def change_document(change) -> dict:
    """A change for JSON."""
    return {**vars(change), "in_the_program": change.what != IN_THE_FILE}


def _place(history, change) -> int:
    """Where a change stands in the history; of two alike the last."""
    return max(k for k, each in enumerate(history) if each == change)


def _typed(key, text):
    """A value as study.toml holds it: yes or no, a number, several, else the text as typed."""
    if key in NAMES:
        return text
    if text.casefold() in TRUTHS and key not in WORDED:
        return TRUTHS[text.casefold()]
    if key in LISTS:
        return [_number(part.strip()) for part in text.split(";") if part.strip()]
    return _number(text)


def _number(text):
    """A number, whole where it is written so; else the text."""
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text
