"""A whole study as one zip file, and tables for a spreadsheet."""

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from edgetest.store.files import csv_text, locked
from edgetest.store.records import load_study
from edgetest.store.typed_drafts import TYPED_FOLDER

LEFT_OUT = re.compile(
    r"sealed_names\.age|\.lock|\.known_.*|\..*\.tmp|\.DS_Store|Thumbs\.db|desktop\.ini|~\$.*"
)
_EPOCH = (1980, 1, 1, 0, 0, 0)
_PLAIN_NUMBER = re.compile(r"-?(0|[1-9]\d{0,14})(\.\d+)?(e-\d{2,3})?")


def spreadsheet_text(text: str) -> str:
    """A text that no spreadsheet takes for a formula: one that begins like it gets an apostrophe.

    Numbers stay as they are.

    Notes
    -----
    The first letters are those of OWASP, "CSV Injection": ``= + - @``, tab and carriage return.
    """
    begins = text.lstrip(" ")[:1] in tuple("=+-@\t\r") and text.strip() != ""
    return f"'{text}" if begins and not _PLAIN_NUMBER.fullmatch(text) else text


def csv_to_take_away(records: Iterable[Sequence[str]]) -> str:
    """Records as CSV for other people's spreadsheets: no cell of it is a formula."""
    return csv_text([[spreadsheet_text(str(cell)) for cell in record] for record in records])


def export_study(folder: str | Path) -> bytes:
    """All files of a study as one zip, in a folder of the study's own name.

    The bytes depend on the files' names and contents alone, so two exports of one study are
    the same. Locks, unfinished writes and what is typed but not saved are left out, and so is
    the file with sealed names: who keeps the word keeps it too.
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
