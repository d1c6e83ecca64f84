"""Rows of a log written out again, which the readers of logs must read back as they were."""

from collections.abc import Iterable, Sequence

from edgetest.store.cells import Reading, plain_number
from edgetest.store.chop_log import COLUMNS, ChopRow
from edgetest.store.logs import LogRow


def format_reading(reading: Reading) -> str:
    """The cell that `parse_reading` or `parse_grade` reads back as this reading."""
    match reading.kind:
        case "number":
            return plain_number(reading.value)
        case "below":
            return f"<{plain_number(reading.upper)}"
        case "above":
            return f">{plain_number(reading.lower)}"
        case "between":
            return f"{plain_number(reading.lower)}-{plain_number(reading.upper)}"
        case "grade":
            return reading.text
    return ""


def log_table(rows: Iterable[LogRow], columns: Sequence[str] | None = None) -> list[list[str]]:
    """Heading and cells of a log."""
    rows = list(rows)
    if columns is None:
        readings = dict.fromkeys(name for row in rows for name in row.readings)
        used = [
            c
            for c in _PLAIN
            if c in ("blade", "cuts") or any(getattr(r, c) not in ("", None) for r in rows)
        ]
        columns = [*used, *readings]
    return [list(columns), *([_log_cell(row, column) for column in columns] for row in rows)]


_PLAIN = (
    "blade", "heat_treatment", "cuts", "station_mm", "check_no", "photo", "scale", "batch",
    "block", "day", "date", "operator", "stroke", "mishap", "exclude", "note",
)  # fmt: skip


def _log_cell(row: LogRow, column: str) -> str:
    if column in row.readings:
        return format_reading(row.readings[column])
    value = getattr(row, column, None) if column in _PLAIN else None
    if value is None or isinstance(value, str):
        return value or ""
    return plain_number(value)


def chop_table(rows: Iterable[ChopRow], columns: Sequence[str] | None = None) -> list[list[str]]:
    """Heading and cells of a chop log."""
    rows = list(rows)
    if columns is None:
        columns = [
            name
            for name in COLUMNS
            if name in ("blade", "kind")
            or any(getattr(row, name) not in ("", None) for row in rows)
        ]
    return [list(columns), *([_cell(getattr(row, name)) for name in columns] for row in rows)]


def _cell(value: Reading | str | float | None) -> str:
    if isinstance(value, Reading):
        return format_reading(value)
    if value is None or isinstance(value, str):
        return value or ""
    return plain_number(value)
