"""What does a typed field say in study.toml, and what does a field show of it?"""

import re
from typing import Any, Literal

from edgetest.errors import UnusableInput

# "words" is text, "size" a number that may carry its unit, "count" a whole number, "numbers"
# several in a row, "rows" several in each of several lines, "lines" a text a line.
Kind = Literal["words", "size", "count", "numbers", "rows", "lines"]
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")


def field_value(text: str, kind: Kind, label: str) -> Any:
    """A typed text as study.toml holds it; None where nothing was typed.

    Parameters
    ----------
    text : str
    kind : Kind
        A size stays as typed: "1/4 in" is a text, 6.4 a number.
    label : str
        Of the field, for a fault.

    Raises
    ------
    UnusableInput
        Naming the word that is no number.
    """
    text = text.strip()
    if not text:
        return None
    if kind == "lines":
        return [line.strip() for line in text.splitlines() if line.strip()]
    text = text if kind == "rows" else " ".join(text.split())
    if kind == "size":
        return _plain(text) if _NUMBER.fullmatch(text) else text
    if kind == "count":
        if not re.fullmatch(r"\d+", text):
            raise UnusableInput(f'"{text}" is not a whole number', label, "write 20")
        return int(text)
    if kind == "numbers":
        return _numbers(text, label)
    if kind == "rows":
        return [_numbers(line, label) for line in re.split(r"[;\n]+", text) if line.strip()]
    return text


def field_text(value: Any, kind: Kind) -> str:
    """What a field shows of a value, so that typing it again gives the value."""
    if value is None:
        return ""
    if kind == "rows":
        return "\n".join(field_text(row, "numbers") for row in value)
    if kind == "lines":
        return "\n".join(map(str, value if isinstance(value, list) else [value]))
    if isinstance(value, list):
        return "  ".join(map(str, value))
    return str(value)


def _numbers(text: str, label: str) -> list[float]:
    """Numbers with blanks between; a decimal comma has no blank after it."""
    found = []
    for word in re.split(r"\s*;\s*|,?\s+", text.strip().strip(",;")):
        plain = word.replace(",", ".") if word.count(",") == 1 else word
        if not _NUMBER.fullmatch(plain):
            raise UnusableInput(
                f'"{word}" is not a number', label, "write them with blanks between"
            )
        found.append(_plain(plain))
    return found


def _plain(text: str) -> float:
    """A number; whole where it is written so."""
    return int(text) if re.fullmatch(r"[+-]?\d+", text) else float(text)
