"""What an answer may not be believed for: every doubt by its code, how grave, and where it arose.

A doubt is made where it is found (`doubt`) and travels with the result; joining results joins
their doubts. The sentences stand in one catalogue, `doubts.toml` beside this file.
"""

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

GRAVITIES = ("decides", "limits", "notes")
MOST_NAMED = 8  # places before a sentence; JSON has all of them


@dataclass(frozen=True)
class Kind:
    """One entry of the catalogue.

    `gravity` is "decides" (the answer itself stands or falls with it), "limits" (it holds less
    far, or less surely) or "notes" (good to know); `guide` names the chapter that tells more.
    """

    code: str
    says: str
    gravity: str
    guide: str


@dataclass(frozen=True)
class Where:
    """The place that a doubt is about, as far as it has one; the value met and the one expected.

    `other` is the second blade, where the doubt is about two; `last_stage` ends a run of stages
    that begins with `stage`.
    """

    file: str | None = None
    row: int | None = None
    blade: str | None = None
    stage: float | None = None
    value: float | str | None = None
    expected: float | None = None
    other: str | None = None
    last_stage: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """The parts that are known."""
        return {name: part for name, part in asdict(self).items() if part is not None}

    def words(self) -> str:
        """File, row and blade, as far as they are known: "log.csv, row 14, H2"."""
        row = f"row {self.row}" if self.row is not None else None
        return ", ".join(
            part for part in (self.row is not None and self.file, row, self.blade) if part
        )


NOWHERE = Where()


@dataclass(frozen=True)
class Doubt:
    """A code for programs, a sentence for people, how grave it is, and where it arose."""

    code: str
    text: str
    gravity: str = "limits"
    where: Where = NOWHERE

    def to_dict(self) -> dict[str, Any]:
        """All of it, as JSON carries it under "doubts"."""
        return {
            "code": self.code,
            "text": self.text,
            "gravity": self.gravity,
            "where": self.where.to_dict(),
        }

    @classmethod
    def from_dict(cls, values: dict[str, Any]) -> "Doubt":
        """The doubt that `to_dict` told."""
        return cls(**{**values, "where": Where(**values["where"])})

    def to_warning(self) -> dict[str, str]:
        """Code and sentence, as JSON carries them under "warnings" and "reasons"."""
        return {"code": self.code, "text": self.text}


@cache
def catalogue() -> dict[str, Kind]:
    """Every kind of doubt by its code, as `doubts.toml` lists them."""
    with Path(__file__).with_suffix(".toml").open("rb") as file:
        return {code: Kind(code, **entry) for code, entry in tomllib.load(file).items()}


def doubt(code: str, more: str = "", *, where: Where = NOWHERE, **words: object) -> Doubt:
    """The doubt of a code: its sentence with `words` filled in and `more` behind it.

    Raises
    ------
    KeyError
        If the catalogue has no such code.
    """
    kind = catalogue()[code]
    says = kind.says.format(**words) if words else kind.says
    return Doubt(code, f"{says} {more}".strip(), kind.gravity, where)


def doubts_of(codes: Iterable[str], *, where: Where = NOWHERE) -> tuple[Doubt, ...]:
    """Doubts of several codes that all arose in one place."""
    return tuple(doubt(code, where=where) for code in codes)


def codes(doubts: Iterable[Doubt]) -> tuple[str, ...]:
    """Codes of doubts, in their order."""
    return tuple(one.code for one in doubts)


def each_once(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Doubts in their order with each code once, as it first arose."""
    first: dict[str, Doubt] = {}
    for one in doubts:
        first.setdefault(one.code, one)
    return tuple(first.values())


def joined(*parts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Doubts of several results as one tuple: each once, the gravest first."""
    unique = dict.fromkeys(one for part in parts for one in part)
    return tuple(sorted(unique, key=lambda one: GRAVITIES.index(one.gravity)))


def retold(doubts: Iterable[Doubt], anew: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """The doubts, those of them left out that `anew` tells again of the same place."""
    said = {_about(one) for one in anew}
    return tuple(one for one in doubts if _about(one) not in said)


def _about(one: Doubt) -> tuple[Any, ...]:
    """What a doubt is about: its code and place, not the words or the numbers met there."""
    return one.code, one.where.file, one.where.row, one.where.blade, one.where.stage


def placed(doubts: Iterable[Doubt], **place: Any) -> tuple[Doubt, ...]:
    """The same doubts where more of their place is known: parts of `Where` by name."""
    return tuple(replace(one, where=replace(one.where, **place)) for one in doubts)


def sentences(doubts: Iterable[Doubt]) -> list[str]:
    """Each sentence once, in order, behind the rows and blades that it is about.

    A blade, or a file with its row, that a sentence names at its beginning is not named twice.
    """
    places: dict[str, dict[str, None]] = {}
    for one in doubts:
        about = places.setdefault(one.text, {})
        about |= {one.where.words(): None} if one.where.words() else {}
    return [_behind(_named(list(about)), text) for text, about in places.items()]


def _behind(places: str, text: str) -> str:
    row = places.rpartition(", ")[0]  # "log.csv, row 9" of "log.csv, row 9, H1"
    text = text.removeprefix(f"{row}, ") if row else text
    return text if not places or text.startswith(f"{places}: ") else f"{places}: {text}"


def _named(places: list[str]) -> str:
    """Places in a row; the first of many. A place of several words ends in a semicolon."""
    between = "; " if any(", " in place for place in places) else ", "
    if len(places) <= MOST_NAMED:
        return between.join(places)
    shown = places[: MOST_NAMED - 1]
    return f"{between.join(shown)} and {len(places) - len(shown)} more"


def of_gravity(gravity: str, doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Those of the doubts that are so grave, in their order."""
    return tuple(one for one in doubts if one.gravity == gravity)


def told(doubts: Sequence[Doubt]) -> dict[str, list[dict[str, Any]]]:
    """The entries "warnings" (each sentence once) and "doubts" (each place) of a result's JSON."""
    warnings = {(one.code, one.text): one.to_warning() for one in doubts}
    return {
        "warnings": list(warnings.values()),
        "doubts": [one.to_dict() for one in doubts],
    }
