"""A whole study as one zip file and back, and tables for a spreadsheet."""

import io
import re
import shutil
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from edgetest.errors import UnusableInput
from edgetest.store.files import locked
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.store.typed_drafts import TYPED_FOLDER

LARGEST_STUDY_BYTES = 2_000_000_000
LARGEST_RATIO = 200  # what text or a picture shrinks to; a bomb shrinks a thousandfold
LEFT_OUT = re.compile(r"\.lock|\.known_.*|\..*\.tmp|\.DS_Store|Thumbs\.db|desktop\.ini|~\$.*")
_EPOCH = (1980, 1, 1, 0, 0, 0)
_PLAIN_NUMBER = re.compile(r"-?(0|[1-9]\d{0,14})(\.\d+)?(e-\d{2,3})?")


def export_study(folder: str | Path) -> bytes:
    """All files of a study as one zip, in a folder of the study's own name.

    The bytes depend on the files' names and contents alone, so two exports of one study are
    the same. Locks, unfinished writes and what is typed but not saved are left out.
    """
    folder = Path(folder).resolve()
    load_study(folder)
    data = io.BytesIO()
    with locked(folder), zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(folder.rglob("*")):
            if not path.is_file() or path.is_symlink() or path.parent.name == TYPED_FOLDER:
                continue
            if not LEFT_OUT.fullmatch(path.name):
                name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
                entry = zipfile.ZipInfo(name, date_time=_EPOCH)
                entry.external_attr = 0o644 << 16
                # photographs are packed already
                packed = path.suffix.lower() in (".jpg", ".jpeg", ".png")
                entry.compress_type = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
                archive.writestr(entry, path.read_bytes())
    return data.getvalue()


def import_study(data: bytes, root: str | Path, *, name: str | None = None) -> Path:
    """Unpack a study's zip into a new folder of `root`.

    Parameters
    ----------
    data : bytes
        The zip; study.toml lies at its top or in its only folder.
    root : str or Path
        The workspace.
    name : str, optional
        Name of the new folder; the one in the zip, if not given.

    Returns
    -------
    Path
        The study's folder; it appears whole or not at all.

    Raises
    ------
    UnusableInput
        If it is no study's zip, holds a path that leads outside, unpacks to more than
        `LARGEST_STUDY_BYTES`, or a folder of that name is there.
    """
    root = Path(root)
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except zipfile.BadZipFile:
        raise UnusableInput("is not a zip file", "study zip", "export the study again") from None
    with archive:
        top = _top_of(archive)
        name = name or top.name or "imported_study"
        target = root / name
        if not re.fullmatch(r"[^/\\:*?\"<>|\x00-\x1f]+", name) or name in (".", ".."):
            raise UnusableInput(f'"{name}" cannot be a folder', "study zip", "give it another name")
        if target.exists():
            raise UnusableInput("a study of this name is there", str(target), "give a new name")
        root.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=root, prefix=".import_") as temporary:
            inside = Path(temporary) / "study"
            _unpack(archive, top, inside)
            load_study(inside)
            shutil.move(inside, target)
    return target


def _top_of(archive: zipfile.ZipFile) -> PurePosixPath:
    """The folder in a zip where study.toml lies; every entry is looked at for safety first."""
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    _refuse_unsafe(entries)
    found = [PurePosixPath(entry.filename) for entry in entries]
    tops = [path.parent for path in found if path.name == STUDY_FILE and len(path.parts) <= 2]
    if len(tops) != 1:
        what = "holds several studies" if tops else f"holds no {STUDY_FILE}"
        raise UnusableInput(what, "study zip", "export one study")
    return tops[0]


def _refuse_unsafe(entries: Sequence[zipfile.ZipInfo]) -> None:
    """Refuse paths that lead outside, and what would swell past all measure."""
    for entry in entries:
        path = PurePosixPath(entry.filename.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts or ":" in entry.filename:
            raise UnusableInput(f'"{entry.filename}" leads outside', "study zip", "do not open it")
        if entry.file_size > LARGEST_RATIO * max(entry.compress_size, 1_000):
            raise UnusableInput(
                f'"{entry.filename}" swells to {entry.file_size / 1e6:.0f} MB',
                "study zip",
                "export the study again",
            )
    if sum(entry.file_size for entry in entries) > LARGEST_STUDY_BYTES:
        raise UnusableInput("unpacks to more than 2 GB", "study zip", "leave out old photographs")


def _unpack(archive: zipfile.ZipFile, top: PurePosixPath, folder: Path) -> None:
    for entry in archive.infolist():
        path = PurePosixPath(entry.filename)
        if entry.is_dir() or (top.parts and path.parts[:1] != top.parts):
            continue
        target = folder / Path(*path.relative_to(top).parts)
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            target.write_bytes(archive.read(entry))
        except (zipfile.BadZipFile, RuntimeError, NotImplementedError, OSError) as fault:
            raise UnusableInput(
                f'"{entry.filename}" cannot be unpacked ({fault})',
                "study zip",
                "export the study again, without a password",
            ) from None


def xlsx_bytes(records: Sequence[Sequence[str]], *, title: str = "log") -> bytes:
    """A table as an XLSX workbook; plain numbers become numbers, all else stays text.

    A text that begins with "=" stays a text too: nothing that was typed into a note is
    calculated.
    """
    from openpyxl import Workbook
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
    from openpyxl.styles import Font

    book = Workbook()
    sheet = book.active
    sheet.title = title
    for i, record in enumerate(records, 1):
        for j, text in enumerate(record, 1):
            if text == "":
                continue
            cell = sheet.cell(i, j)
            if i > 1 and _PLAIN_NUMBER.fullmatch(text):
                cell.value = int(text) if text.lstrip("-").isdecimal() else float(text)
            else:
                cell.value = ILLEGAL_CHARACTERS_RE.sub("", text)
                cell.data_type = "s"
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    sheet.freeze_panes = "A2"
    data = io.BytesIO()
    book.save(data)
    return data.getvalue()
