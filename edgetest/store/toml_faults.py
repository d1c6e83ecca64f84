"""What is wrong with a TOML file that cannot be read, in its line, and what mends it?"""

import re
import tomllib
from collections.abc import Iterator

import tomlkit

from edgetest.errors import UnusableInput

_PLAIN_MEND = "texts stand in quotes, numbers have a decimal point, each key stands once"
_CURLY = re.compile("[“”„‘’«»]")
_AT = re.compile(r"(.*?)\s*\(at (?:line (\d+), column (\d+)|end of document)\)")
LONGEST_NUMBER = 400  # digits; Python reads whole numbers up to 4,300


def toml_fault(fault: Exception, text: str, name: str) -> UnusableInput:
    """The fault of a TOML text, with its line, and the mend that the line asks for.

    Parameters
    ----------
    fault : Exception
        What `tomllib` raised: its own error, `RecursionError` for brackets in brackets without
        end, `ValueError` for a number of thousands of digits.
    text : str
        The text of the file.
    name : str
        What the file is called.
    """
    if isinstance(fault, RecursionError):
        what = "brackets are nested too deep"
        return UnusableInput(what, name, "write lists one in another at most")
    if not isinstance(fault, tomllib.TOMLDecodeError):
        lines = text.splitlines()
        met = next((i for i, line in enumerate(lines, 1) if _long_number(line)), None)
        where = f"{name}, line {met}" if met else name
        return UnusableInput("a number has too many digits", where, "write the value met")
    found = _AT.fullmatch(str(fault))
    what, number = (found[1], found[2]) if found else (str(fault), None)
    lines = text.splitlines()
    row = int(number) if number else None
    line = lines[row - 1] if row and row <= len(lines) else ""
    mend = next(_mends(what, line, lines[: row or None]), _PLAIN_MEND)
    where = f"{name}, line {row}" if row else f"{name}, at its end"
    return UnusableInput(f"not valid TOML ({what[:1].lower()}{what[1:]})", where, mend)


def _long_number(line: str) -> bool:
    return re.search(rf"\d{{{LONGEST_NUMBER}}}", line.replace("_", "")) is not None


def _mends(what: str, line: str, above: list[str]) -> Iterator[str]:
    """The mends that a line asks for, the likeliest first."""
    key, _, value = (part.strip() for part in line.partition("="))
    if _CURLY.search(line):
        yield f"write straight quotes: {_CURLY.sub(chr(34), line.strip())}"
    if "overwrite" in what or "twice" in what or "already" in what.casefold():
        yield f"{key.strip('[] ')} stands twice: leave one of them out"
    if "\\" in line and '"' in line:
        yield "a backslash has a meaning in double quotes: write / in its place"
    yield from _mends_of_value(key, value)
    if "=" not in line and re.match(r"\s*[\w-]+\s*:", line):
        yield f"write = in place of the colon: {line.strip().replace(':', ' =', 1)}"
    if line.count('"') % 2:
        yield "a quote is not closed: texts stand in quotes, one at each end"
    if _open_list(above):
        yield "a list that begins above is not closed: it lacks its ]"


def _mends_of_value(key: str, value: str) -> Iterator[str]:
    """The mends of a day or a number that is written in another way."""
    if re.fullmatch(r"\d\d?[./]\d\d?[./]\d{4}.*", value):
        yield "write a day with the year first, as in 2026-05-04"
    if re.fullmatch(r"[+-]?\d+,\d+\s*(#.*)?", value):
        yield f"write a decimal point: {key} = {value.replace(',', '.', 1)}"
    if value[:1].isalpha() and value not in ("true", "false"):
        yield f'texts stand in quotes: {key} = "{value}"'


def _open_list(lines: list[str]) -> bool:
    """Whether a list that was begun is still open; brackets in texts and comments left out."""
    bare = re.sub(r'"[^"\n]*"|#[^\n]*|^\s*\[.*\]\s*$', "", "\n".join(lines), flags=re.MULTILINE)
    return bare.count("[") > bare.count("]")


def heading_of(*keys: str) -> str:
    """The heading of a table as a mend names it, its keys quoted where TOML asks for that."""
    return f"[{tomlkit.key(list(keys)).as_string()}]"
