"""Hand-edited TOML against a record: every fault named by file, key and mend."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError, core_schema

from edgetest.errors import ManyFaults, UnusableInput, nearest
from edgetest.store.toml_faults import toml_fault
from edgetest.units import SHOWN, Typed, Unreadable, parse_bracket, parse_quantity


class Record(BaseModel):
    """A record that knows its keys, is never changed, and holds no infinity."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, str_strip_whitespace=True
    )


# Names that pydantic gives to the branches of "a number or a text".
_BRANCHES = {"float", "str", "constrained-str", "constrained-float"}
_BOUNDS = {
    "greater_than": ("above", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("below", "lt"),
    "less_than_equal": ("at most", "le"),
}
A_STEP = '{kind = "temper", temperature_c = 210}'
NO_WORDS = {"edge", "id", "u", "deg", "mm", "um", "c", "min", "hrc", "g", "per", "of"}  # of a key
OF_THE_LOG = ("exclude", "mishap")  # columns that hold a reason, not facts of study.toml
RecordType = TypeVar("RecordType", bound=Record)


def refuse(what: str, mend: str) -> PydanticCustomError:
    """A fault that a validator raises: what is wrong, how to mend it."""
    return PydanticCustomError("refused", "{what}", {"what": what, "mend": mend})


@dataclass(frozen=True)
class Quantity:
    """For `Annotated[float, Quantity("mm")]`: a `Typed` in `unit`, also of "1/4 in" or "12,5"."""

    unit: str
    above: float | None = None
    least: float | None = None

    def read(self, value: Any) -> Typed:
        """The number and how it was typed; a fault names the value met."""
        try:
            number = parse_quantity(value, self.unit)
        except Unreadable as fault:
            raise refuse(fault.what, fault.mend) from None
        except TypeError:
            raise refuse(f"{value!r} is not a number", "write digits only") from None
        if not isfinite(number):  # as its unit is turned into that of the key
            raise refuse(f"{value!r} is too large to be a number", "write the value met")
        name = SHOWN.get(self.unit, self.unit)
        if self.above is not None and number <= self.above:
            raise refuse(f"{number:g} {name} is not above {self.above:g}", "write the value met")
        if self.least is not None and number < self.least:
            raise refuse(f"{number:g} {name} is below {self.least:g}", "write the value met")
        return Typed(number, getattr(value, "typed", value))

    def __get_pydantic_core_schema__(self, _kind: Any, _handler: Any) -> Any:
        """Read here and nowhere else; written back as typed."""
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda number: getattr(number, "typed", number), when_used="json"
            ),
        )


def bracket(unit: str) -> BeforeValidator:
    """For a pair of ends written "58-60", [58, 60] or as one number."""

    def read(value: Any) -> tuple[float, float]:
        if isinstance(value, list | tuple) and len(value) == 2:
            value = f"{value[0]}-{value[1]}"
        try:
            low, high = parse_bracket(value, unit)
        except Unreadable as fault:
            raise refuse(fault.what, fault.mend) from None
        return low, high

    return BeforeValidator(read)


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file; every fault of the file itself as `UnusableInput`."""
    path = Path(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise UnusableInput(
            "there is no such file", where=str(path), mend="check the folder and the name"
        ) from None
    except UnicodeDecodeError as fault:
        raise UnusableInput(
            f"byte {fault.object[fault.start]:#04x} is not UTF-8",
            where=path.name,
            mend="save the file as UTF-8",
        ) from None
    except OSError as fault:
        raise UnusableInput(
            f"cannot be read ({fault.strerror})", where=str(path), mend="check the file"
        ) from None
    return parse_toml(text, path.name)


def parse_toml(text: str, name: str) -> dict[str, Any]:
    """The tables of a TOML text; a fault of its form as `UnusableInput` with its line."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError) as fault:  # ValueError: its own, and of endless numbers
        raise toml_fault(fault, text, name) from None


def validate(
    model: type[RecordType], data: dict[str, Any], file: str, *, root: type[BaseModel] | None = None
) -> RecordType:
    """The record of `data`, or every fault in it at once as `ManyFaults`.

    `root` is the record of the whole file, where `data` is one table of it: a key that stands in
    the wrong table is told where it belongs.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        met = (each for each in error.errors(include_url=False) if not _only_faulty(each))
        faults = [_fault(model, detail, data, file, root or model) for detail in met]
        first: dict[str, UnusableInput] = {}
        for fault in faults:  # of the branches of one key, the first is enough
            first.setdefault(fault.where, fault)
        raise ManyFaults(first.values()) from None


def _only_faulty(detail: ErrorDetails) -> bool:
    """Whether a list is called too short for its faulty entries, which are named already."""
    return detail["type"] == "too_short" and len(detail["input"]) >= detail["ctx"]["min_length"]


def _fault(
    model: type[BaseModel],
    detail: ErrorDetails,
    data: dict[str, Any],
    file: str,
    root: type[BaseModel],
) -> UnusableInput:
    """One of pydantic's complaints in the words of the house."""
    loc = tuple(part for part in detail["loc"] if part not in _BRANCHES)
    where = ", ".join([file, *_place(loc, data)])
    key, met, kind = (
        str(detail["loc"][-1]) if detail["loc"] else "",
        detail["input"],
        detail["type"],
    )
    context = detail.get("ctx", {})
    if kind == "refused":
        return UnusableInput(context["what"], where, context["mend"])
    if kind == "extra_forbidden":
        mend = _its_table(root, key) or _key_meant(model, loc, met)
        return UnusableInput(f'"{key}" is not a key here', where, mend)
    if kind == "missing":
        return UnusableInput("this key is missing", where, f"add {key} = …")
    if kind == "literal_error":
        expected = context["expected"].replace("'", '"')
        near = nearest(str(met), re.findall(r'"(.*?)"', expected))
        mend = f'did you mean "{near}"?' if near else f"write one of {expected}"
        return UnusableInput(f'"{met}" is not known', where, mend)
    if kind in ("tuple_type", "list_type"):
        return UnusableInput(*_no_list(key, met, where))
    what, mend = _plain_words(kind, met, context)
    if kind in ("model_type", "dict_type") and "steps" in loc:
        mend = f"write it by its kind, such as {A_STEP}"
    return UnusableInput(what, where, mend)


def _its_table(root: type[BaseModel], key: str) -> str:
    """Where a key that stands in the wrong table belongs; "" where no table takes it."""
    if key in OF_THE_LOG:
        return f"write the reason into the column {key} of its rows in the log"
    if key in {field.alias or name for name, field in root.model_fields.items()}:
        return f"write it at the top of the file, above the first [table]: {key} = …"
    for name, field in root.model_fields.items():
        held = _field_model(root, name)
        if held and key in {inner.alias or own for own, inner in held.model_fields.items()}:
            many = str(field.annotation).startswith("tuple")
            place = f"the id it is of, in [[{name}]]" if many else f"[{name}]"
            return f"it belongs under {place}: move the line there"
    return ""


def _key_meant(model: type[BaseModel], loc: tuple[int | str, ...], met: Any) -> str:
    """The known key that an unknown one is written most like, else all of them."""
    known = sorted(_known_keys(model, loc))
    near = nearest(str(loc[-1]), known)
    if near is None:
        words = set(str(loc[-1]).casefold().split("_")) - NO_WORDS
        alike = [key for key in known if words.intersection(key.split("_"))]
        return f"did you mean {' or '.join(alike)}?" if alike else f"known keys: {', '.join(known)}"
    tables = isinstance(met, list) and any(isinstance(one, dict) for one in met)
    return f"did you mean [[{near}]]?" if tables else f"did you mean {near}?"


def unquoted(mend: str) -> str:
    """A mend of study.toml as it is told where nobody writes quotes: on a page, at a prompt."""
    return re.sub(r"(?: and)? without quotes", "", mend)


LISTS_OF_WORDS = ("care", "chop_to", "photographs")  # of study.toml, each item a text


def _no_list(key: str, met: Any, where: str) -> tuple[str, str, str]:
    """What stands where a list is wanted, its place, and the mend."""
    if isinstance(met, dict):
        return "this is one table", where, f"write [[{key}]] over each of them"
    if key == "steps":
        mend = f"write each step by its kind: steps = [{A_STEP}]"
        return f"{_shown(met)} is not a list", where, mend
    mend = "write it in square brackets, or as [[tables]]"
    if isinstance(met, str) and key in LISTS_OF_WORDS:
        mend = f'write it in square brackets: {key} = ["…"]'
    return f"{_shown(met)} is not a list", where, mend


def _no_whole_number(met: Any) -> tuple[str, str]:
    """What stands where a whole number is wanted, and the mend."""
    if isinstance(met, bool):
        return "yes or no is not a whole number", "write how many, such as 1"
    return f"{_shown(met)} is not a whole number", "write digits without a point and without quotes"


def _plain_words(kind: str, met: Any, context: dict[str, Any]) -> tuple[str, str]:
    """What is wrong and its mend, for the kinds of fault that pydantic finds itself."""
    shown = _shown(met)
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        return f"{shown} is not {words} {context[key]:g}", "write the value met"
    if kind == "finite_number":
        return f"{shown} is not a finite number", "write the value met"
    if kind.startswith("float"):
        mend = "write digits without quotes" if isinstance(met, str) else "write digits"
        return f"{shown} is not a number", mend
    if kind.startswith("int"):
        return _no_whole_number(met)
    if kind.startswith("bool"):
        return f"{shown} is not true or false", "write true or false without quotes"
    if kind.startswith("string"):
        if kind == "string_too_short":
            return "this text is empty", "write it"
        if kind == "string_too_long":
            return f"{shown} is too long", "shorten it"
        if kind == "string_pattern_mismatch":
            allowed = "small letters, digits and underscores"
            mend = f"use {allowed}" if "a-z" in context["pattern"] else "leave out , ; and tabs"
            return f"{shown} holds a character that a name may not have", mend
        return f"{shown} is not a text", "write it in quotes"
    if kind in ("model_type", "dict_type"):
        return f"{shown} is not a table", "write it with keys, such as {key = …}"
    if kind == "too_short":
        return "this list is empty", "write at least one"
    return f"{shown} cannot stand here ({kind.replace('_', ' ')})", "change it"


def _shown(met: Any) -> str:
    """A value as it stands in TOML, shortened."""
    if isinstance(met, bool):
        return str(met).lower()
    try:
        text = f'"{met}"' if isinstance(met, str) else repr(met)
    except ValueError:  # a whole number of thousands of digits
        return "this number"
    return text if len(text) <= 40 else f"{text[:37]}…"


def _place(loc: tuple[int | str, ...], data: Any) -> Iterator[str]:
    """A path such as ("blades", 1, "steel") as "blades 2 (K2)", "steel"."""
    for i, part in enumerate(loc):
        if isinstance(part, int):
            continue
        index = loc[i + 1] if i + 1 < len(loc) and isinstance(loc[i + 1], int) else None
        data = data.get(part) if isinstance(data, dict) else None
        if index is None:
            yield part
            continue
        number = int(index)
        data = data[number] if isinstance(data, list) and number < len(data) else None
        name = data.get("id") or data.get("name") if isinstance(data, dict) else None
        yield f"{part} {number + 1}" + (f" ({name})" if name else "")


def _known_keys(model: type[BaseModel], loc: tuple[int | str, ...]) -> set[str]:
    """Keys of the table in which `loc` ends."""
    for part in loc[:-1]:
        if isinstance(part, int):
            continue
        found = _field_model(model, part)
        if found is None:
            continue  # the name of a table among tables, such as scales.NAME
        model = found
    return {field.alias or name for name, field in model.model_fields.items()}


def _field_model(model: type[BaseModel], key: str) -> type[BaseModel] | None:
    """The record that a field of `model` holds, also inside a list or a table."""
    for name, field in model.model_fields.items():
        if key in (name, field.alias):
            pending = [field.annotation]
            while pending:
                kind = pending.pop()
                if isinstance(kind, type) and issubclass(kind, BaseModel):
                    return kind
                pending.extend(getattr(kind, "__args__", ()))
    return None
