"""A whole study as one zip file, and tables for a spreadsheet."""

import io
import re
import shutil
import zipfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from edgetest.store.files import csv_text, locked, whole_file
from edgetest.store.records import load_study
from edgetest.store.typed_drafts import TYPED_FOLDER

LEFT_OUT = re.compile(
    r"sealed_names\.age|\.lock|\.known_.*|\..*\.tmp|\.DS_Store|Thumbs\.db|desktop\.ini|~\$.*"
)
PACKED = (".jpg", ".jpeg", ".png", ".heic", ".heif")  # photographs are packed already
LONGEST_SHEET_NAME = 31  # letters; and none of \ * ? : / [ ], says the format
PART_BYTES = 1 << 20
_EPOCH = (1980, 1, 1, 0, 0, 0)
_PLAIN_NUMBER = re.compile(r"-?(0|[1-9]\d{0,14})(\.\d+)?(e-\d{2,3})?")


def spreadsheet_text(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that begins like it gets an apostrophe.

    Numbers stay as they are.

    Notes
    -----
    The first letters are those of OWASP, "CSV Injection": ``= + - @``, tab, line break, and the
    wide forms that some keyboards write.
    """
    begins = text.lstrip(" ")[:1] in tuple("=+-@\t\r\n＝＋－＠") and text.strip() != ""
    return f"'{text}" if begins and not _PLAIN_NUMBER.fullmatch(text) else text


def csv_to_take_away(records: Iterable[Sequence[str]], *, delimiter: str = ",") -> str:
    """Records as CSV for other people's spreadsheets: no cell of it is a formula."""
    plain = [[spreadsheet_text(str(cell)) for cell in record] for record in records]
    return csv_text(plain, delimiter=delimiter)


def export_study(
    folder: str | Path, target: str | Path, *, progress: Callable[[int, int], None] | None = None
) -> Path:
    """All files of a study as one zip, in a folder of the study's own name.

    The bytes depend on the files' names and contents alone, so two exports of one study are
    the same. Locks, unfinished writes and what is typed but not saved are left out, and so is
    the file with sealed names: who keeps the word keeps it too.

    Parameters
    ----------
    folder : str or Path
    target : str or Path
        The zip, written whole or not at all, and never held in memory.
    progress : callable, optional
        Told the files that are packed, and of how many.

    Notes
    -----
    Nobody writes into the study while its tables are packed; photographs, which are written once
    and may take minutes to pack, follow after that.
    """
    folder = Path(folder).resolve()
    load_study(folder)
    with whole_file(target) as file, zipfile.ZipFile(file, "w") as archive:
        with locked(folder):
            paths = sorted(_taken(folder), key=lambda path: (_is_packed(path), path))
            first = sum(not _is_packed(path) for path in paths)
            for path in paths[:first]:
                _pack(archive, path, folder)
        for number, path in enumerate(paths[first:], first + 1):
            _pack(archive, path, folder)
            if progress is not None:
                progress(number, len(paths))
    return Path(target)


def _taken(folder: Path) -> Iterator[Path]:
    """The files of a study that go with it."""
    for path in folder.rglob("*"):
        left_out = LEFT_OUT.fullmatch(path.name) or path.parent.name == TYPED_FOLDER
        if path.is_file() and not path.is_symlink() and not left_out:
            yield path


def _is_packed(path: Path) -> bool:
    """Whether a file is a photograph, which no zip makes smaller."""
    return path.suffix.lower() in PACKED


def _pack(archive: zipfile.ZipFile, path: Path, folder: Path) -> None:
    """Put one file into the zip, a part at a time."""
    name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
    entry = zipfile.ZipInfo(name, date_time=_EPOCH)
    entry.external_attr = 0o644 << 16
    entry.compress_type = zipfile.ZIP_STORED if _is_packed(path) else zipfile.ZIP_DEFLATED
    entry.file_size = path.stat().st_size  # one of 4 GB or more is told to the zip beforehand
    with path.open("rb") as source, archive.open(entry, "w") as packed:
        shutil.copyfileobj(source, packed, PART_BYTES)


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
    sheet.title = re.sub(r"[\\*?:/\[\]]", "_", title)[:LONGEST_SHEET_NAME]
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
