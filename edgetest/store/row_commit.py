"""One change of one row of a log: is it the row that was meant, and how does it get onto disk?"""

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import append_json_line, write_atomic
from edgetest.store.history import HISTORY_FILE, Change, keep_as_known, notice_under_lock
from edgetest.store.log_sheet import Sheet, same_cell


def row_meant(sheet: Sheet, row: int, of: Mapping[str, str]) -> dict[str, str]:
    """The cells of a row, if it still is the one that these cells tell."""
    met = sheet.cells(row) if sheet.has(row) else {}
    if not all(same_cell(met.get(name, ""), cell) for name, cell in of.items()):
        now = ", ".join(f"{name} {met[name]}" for name in of if name in met) or "none"
        raise UnusableInput(
            f"another row stands here now: {now}", f"{sheet.path.name}, row {row}", "load it again"
        )
    return met


def commit_row(
    folder: Path,
    sheet: Sheet,
    what: str,
    row: int,
    before: dict[str, str] | None,
    after: dict[str, str] | None,
    when: datetime | None,
) -> Change:
    """The log first: a change stands when the log holds it, and the history follows."""
    moment = (when or datetime.now(UTC)).isoformat(timespec="milliseconds")
    change = Change(
        what, sheet.path.stem, row, before, after, moment, sheet.added, sheet.moved_from
    )
    notice_under_lock(folder, change.table, when)
    data = sheet.to_bytes()
    write_atomic(sheet.path, data)
    append_json_line(folder / HISTORY_FILE, change.to_dict())
    keep_as_known(folder, change.table, data)
    return change
