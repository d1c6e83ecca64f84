"""A folder of studies on disk: list, load, make, save, and copy the sample runs."""

import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from edgetest.errors import UnusableInput
from edgetest.store.checking import parse_toml, validate
from edgetest.store.files import csv_text, locked, whole_folder, write_atomic
from edgetest.store.history import keep_as_known
from edgetest.store.log_templates import empty_table
from edgetest.store.places import shipped
from edgetest.store.protocol import Protocol, load_protocol
from edgetest.store.records import STUDY_FILE, Study, load_study, study_of
from edgetest.store.sample_photographs import photographs_to_render, render_photographs
from edgetest.store.study_hints import (
    HEADER,
    STEEL_HINT,
    hints_below,
    with_steps_to_fill_in,
)
from edgetest.store.study_list import StudyEntry, list_studies
from edgetest.store.tables import is_xlsx
from edgetest.store.toml_edit import CANNOT, change_toml, edited
from edgetest.store.unseen import name_fault, shown_whole

PHOTOS = "photos"


def log_path(folder: str | Path, table: str = "log") -> Path | None:
    """The log of a study: log.csv or log.xlsx (chops.csv, chops.xlsx); None if there is none.

    Raises
    ------
    UnusableInput
        If both stand there: which one holds would be a guess.
    """
    found = [path for end in ("csv", "xlsx") if (path := Path(folder) / f"{table}.{end}").is_file()]
    if len(found) > 1:
        raise UnusableInput(
            f"{table}.csv and {table}.xlsx both stand here", str(folder), "keep one of them"
        )
    return found[0] if found else None


def change_study(folder: str | Path, change: Callable[[Study], Study]) -> Study:
    """Change a study in its study.toml: only the keys concerned, all else stays as it is.

    The file is read anew, changed and written under one lock, so that two writers lose nothing.
    What `change` raises leaves it alone, and so does a study that could not be opened again.

    Parameters
    ----------
    folder : str or Path
    change : callable
        Takes the study as it stands on disk now and returns it as it shall be.

    Raises
    ------
    UnusableInput
        If the file is written in a way that cannot be changed, or the study would have a fault.
    """
    path = Path(folder) / STUDY_FILE
    with locked(folder):
        now = load_study(folder)
        wanted = change(now).to_toml_dict()
        text = edited(path.read_bytes().decode("utf-8"), now.to_toml_dict(), wanted)
        made = study_of(parse_toml(text, STUDY_FILE), path.parent)
        if made.to_toml_dict() != wanted:
            raise UnusableInput(CANNOT, str(path), "change it in an editor")
        write_atomic(path, text)
    return made


def save_protocol(data: Mapping[str, Any], folder: str | Path) -> Path:
    """Check a protocol of one's own and write it into a study's folder as `<id>.toml`.

    Parameters
    ----------
    data : mapping
        The tables of a protocol file, such as `Protocol.to_toml_dict()` with changes.
    folder : str or Path
        The study that will use it, by `protocol = "<id>.toml"`.

    Raises
    ------
    ManyFaults
        Every fault of it by key and mend; nothing is written then.
    """
    protocol = validate(Protocol, dict(data), f"{data.get('id', 'protocol')}.toml")
    path = Path(folder) / f"{protocol.id}.toml"
    with locked(folder):
        before = load_protocol(path.name, folder).to_toml_dict() if path.is_file() else {}
        return change_toml(path, lambda _: protocol.to_toml_dict(), old=before)


def copy_protocol(name: str, folder: str | Path, new_id: str) -> Path:
    """Copy a protocol that comes with the program, comments and all, to change it.

    Its title says that it is a copy: a document shows whose stages these are.

    Raises
    ------
    UnusableInput
        If there is no such protocol, or `<new_id>.toml` is there already.
    """
    title = load_protocol(name).title
    target = Path(folder) / f"{new_id}.toml"
    if target.exists():
        raise UnusableInput("is there already", target.name, "give the copy another file name")
    text = (shipped("protocols") / f"{name}.toml").read_text(encoding="utf-8")
    text = text.replace(f'id = "{name}"', f'id = "{new_id}"', 1)
    return write_atomic(target, text.replace(f'"{title}"', f'"{title} (own copy)"', 1))


def write_table(path: str | Path, records: Iterable[Sequence[str]]) -> Path:
    """Write a heading and its rows as CSV, whole or not at all."""
    return write_atomic(path, csv_text(records))


def new_study(
    folder: str | Path,
    protocol_id: str,
    title: str,
    *,
    blades: Sequence[str | Mapping[str, Any]] = ("A1", "B1"),
    heat_treatments: Sequence[Mapping[str, Any]] = (),
    control: str | None = None,
    log: tuple[str, bytes] | None = None,
    reading: str | None = None,
) -> Study:
    """Make an empty study: photos/, a log template with its rows, and study.toml at the end.

    A log that lies in the folder already is kept as it is.

    Parameters
    ----------
    folder : str or Path
        Made if need be; must not hold a study yet.
    protocol_id : str
        A protocol that comes with the program, or a .toml file in `folder`.
    title : str
        What the study is called.
    blades : sequence of str or mapping
        Ids, or tables as in study.toml.
    heat_treatments : sequence of mapping, optional
        Tables as in study.toml.
    control : str, optional
        Id of the control blade; added to the blades where it is not among them.
    log : (str, bytes), optional
        The log to begin with, "log" or "chops", and what it holds; else a template with its rows.
    reading : str, optional
        The reading whose limit ends a life; else the protocol's.

    Returns
    -------
    Study

    Raises
    ------
    UnusableInput
        If a study stands there already, or naming every fault of what was given.
    """
    folder = Path(folder)
    _free_for_study(folder)
    rules = load_protocol(protocol_id, folder)
    tables = [{"id": blade} if isinstance(blade, str) else dict(blade) for blade in blades]
    if control is not None and control not in [table["id"] for table in tables]:
        tables.append({"id": control, "title": "control blade"})
    data: dict[str, Any] = {"title": title, "protocol": protocol_id, "blades": tables}
    data["heat_treatments"] = [dict(treatment) for treatment in heat_treatments]
    data |= {"control": control} if control else {}
    data |= {"reading": reading} if reading else {}
    study = validate(Study, data, STUDY_FILE)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / PHOTOS).mkdir(exist_ok=True)
    table, records = empty_table([blade.id for blade in study.blades], rules)
    table, begins = log or (table, csv_text(records).encode())
    if log_path(folder, table) is None:
        _place_log(folder, table, begins)
    hints = hints_below(chopped=bool(rules.chop_kinds), treated=bool(study.heat_treatments))
    facts = with_steps_to_fill_in(edited("", {}, study.to_toml_dict()))
    write_atomic(folder / STUDY_FILE, HEADER + facts + hints)
    return load_study(folder)


def _place_log(folder: Path, table: str, data: bytes) -> None:
    """Write the log of a study that is being made; what differs from it later was done outside."""
    if is_xlsx(data):
        write_atomic(folder / f"{table}.xlsx", data)
    else:
        write_atomic(folder / f"{table}.csv", data)
        keep_as_known(folder, table, data)


def new_steel_study(folder: str | Path, title: str, *, use: str | None = None) -> Study:
    """Make a study of a mystery steel: study.toml alone; no blade and no log are needed yet.

    Parameters
    ----------
    folder : str or Path
        Made if need be; must not hold a study yet.
    title : str
    use : str, optional
        What the steel is wanted for; it can be said later.

    Raises
    ------
    UnusableInput
        If a study stands there already, or naming every fault of what was given.
    """
    folder = Path(folder)
    _free_for_study(folder)
    data = {"title": title, "verdict": {"use": use} if use else {}, "evidence": {}}
    study = validate(Study, data, STUDY_FILE)
    wanted = f'use = "{use}"\n' if use else ""
    first = edited("", {}, {"title": study.title})
    folder.mkdir(parents=True, exist_ok=True)
    text = f"{HEADER}{first}\n[verdict]\n{wanted}\n[evidence]\n{STEEL_HINT}"
    write_atomic(folder / STUDY_FILE, text)
    return load_study(folder)


def _free_for_study(folder: Path) -> None:
    """Refuse a name that is not what it seems, and a folder that holds a study or is a file."""
    if fault := name_fault(folder.name):
        raise UnusableInput(fault, shown_whole(str(folder)), "give the study's folder another name")
    if (folder / STUDY_FILE).exists():
        raise UnusableInput(
            "a study stands here already", str(folder), "choose another folder or open this study"
        )
    if folder.is_file():
        raise UnusableInput("a file of this name is there", str(folder), "name a new folder")


def sample_runs() -> tuple[StudyEntry, ...]:
    """The invented studies that come with the program."""
    return list_studies(shipped("sample_runs"))


def must_be_rendered(name: str) -> bool:
    """Whether photographs of a sample run are rendered when it is copied, which takes a while."""
    return bool(photographs_to_render(shipped("sample_runs") / name))


def copy_sample_run(
    name: str,
    destination: str | Path,
    *,
    workers: int = 2,
    progress: Callable[[int, int], None] | None = None,
) -> Path:
    """Copy a sample run into a folder of one's own; the folder must not exist yet.

    Photographs that do not travel with an installed program are rendered; half a run never stands.

    Parameters
    ----------
    name : str
    destination : str or Path
    workers : int
        Processes that render.
    progress : callable(done, total), optional
        Counts the photographs that are rendered; what it raises leaves nothing there.

    Raises
    ------
    UnusableInput
        If there is no such sample run, or something stands at the destination.
    """
    source = shipped("sample_runs") / name
    if not (source / STUDY_FILE).is_file():
        names = ", ".join(entry.folder.name for entry in sample_runs()) or "none"
        raise UnusableInput(f'"{name}" is not a sample run', "sample run", f"known: {names}")
    destination = Path(destination)
    if destination.exists() and any(destination.iterdir()):
        raise UnusableInput("something stands here already", str(destination), "choose a new name")
    with whole_folder(destination) as inside:
        for path in sorted(source.rglob("*")):
            copy = inside / path.relative_to(source)
            if path.is_dir():
                copy.mkdir()
            elif path.name != ".lock" and path.suffix != ".tmp":
                shutil.copyfile(path, copy)
        if truths := photographs_to_render(source):
            render_photographs(truths, inside / PHOTOS, workers=workers, progress=progress)
    return destination


def replace_log(folder: str | Path, data: bytes) -> Path:
    """Put a log from a file in the place of the study's; the old one is kept beside it.

    Parameters
    ----------
    folder : str or Path
        The study.
    data : bytes
        A file that has been read without faults.

    Returns
    -------
    Path
        The new log.csv or log.xlsx, whichever the bytes are.
    """
    folder = Path(folder)
    target = folder / ("log.xlsx" if is_xlsx(data) else "log.csv")
    with locked(folder):
        old = log_path(folder)
        if old is not None:
            write_atomic(_free_name(folder, old.suffix), old.read_bytes())
        write_atomic(target, data)
        if old is not None and old != target:
            old.unlink()
    return target


def _free_name(folder: Path, suffix: str) -> Path:
    """A name for the log that is being replaced."""
    number = 1
    while (path := folder / f"log_before_{number}{suffix}").exists():
        number += 1
    return path


def save_photograph(folder: str | Path, name: str, data: bytes) -> Path:
    """Put a photograph into a study, as taken; one of that name with other content stays.

    Raises
    ------
    UnusableInput
        If another photograph of that name is there.
    """
    photos = Path(folder) / PHOTOS
    photos.mkdir(exist_ok=True)
    path = photos / Path(name).name
    if fault := name_fault(path.name):
        raise UnusableInput(fault, shown_whole(path.name), "give the file a new name")
    if not path.is_file():
        return write_atomic(path, data)
    if path.read_bytes() != data:
        raise UnusableInput(
            "another photograph of this name is there", path.name, "give the file a new name"
        )
    return path
