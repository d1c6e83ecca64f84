"""What was typed into the fields of a page and is not saved yet?

Each window of a browser keeps a file of its own, so that two never overwrite one another's.
The files lie in a hidden folder of the study, in no export, and go when nothing is left in them.
"""

import json
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from edgetest.store.files import locked, write_atomic

TYPED_FOLDER = ".typed"
NAME = re.compile(r"[0-9a-f]{8}")


@dataclass(frozen=True)
class TypedForm:
    """What one window typed into one form.

    `was` and `now` hold, by field, what stood there when the first letter was typed, and what
    stands there; `of` names the window and the moment of what was typed there and gone on with
    here.
    """

    window: str
    at: str = ""
    was: dict[str, Any] = field(default_factory=dict)
    now: dict[str, Any] = field(default_factory=dict)
    of: tuple[str, str] | None = None


def new_window() -> str:
    """A name for a window that has none."""
    return secrets.token_hex(4)


def typed_by(folder: str | Path, window: str, form: str) -> TypedForm | None:
    """What a window typed into a form, or None."""
    return _typed(window, _read(_file(folder, window)).get(form))


def typed_elsewhere(folder: str | Path, window: str, form: str) -> tuple[TypedForm, ...]:
    """What other windows typed into a form: the latest first.

    What another window has gone on with since counts there alone.
    """
    found = list(_all(folder, form))
    gone_on = {each.of for each in found}
    others = (e for e in found if e.window != window and (e.window, e.at) not in gone_on and e.now)
    return tuple(sorted(others, key=lambda each: each.at, reverse=True))


def keep_typed(
    folder: str | Path, window: str, form: str, name: str, was: Any, now: Any,
    *, begun: TypedForm | None = None,
) -> None:  # fmt: skip
    """Keep what a field holds; on disk on return. What is as it was saved is kept no longer.

    Parameters
    ----------
    folder : str or Path
        Of the study, or of the workspace.
    window : str
    form, name : str
        The form and its field.
    was, now : JSON values
        What is saved, and what is typed.
    begun : TypedForm, optional
        What another window typed, where this one goes on with it.
    """
    with locked(folder):
        known = _read(_file(folder, window))
        entry = _typed(window, known.get(form)) or _taken(begun) or TypedForm(window)
        base = {**entry.was, name: entry.was.get(name, was)}
        typed = {**entry.now, name: now}
        if now in (was, base[name]):
            del base[name], typed[name]
        known[form] = {"at": _moment(), "was": base, "now": typed, "of": entry.of}
        if not typed and entry.of is None:
            del known[form]
        _write(folder, window, known)


def rebase_typed(
    folder: str | Path,
    window: str,
    form: str,
    saved: dict[str, Any],
    begun: TypedForm | None = None,
) -> None:
    """Lay what is typed over what was saved elsewhere meanwhile, once that has been told."""
    with locked(folder):
        known = _read(_file(folder, window))
        entry = _typed(window, known.get(form)) or _taken(begun)
        if entry is not None:
            was = {name: saved.get(name, old) for name, old in entry.was.items()}
            known[form] = {"at": _moment(), "was": was, "now": entry.now, "of": entry.of}
            _write(folder, window, known)


def drop_typed(folder: str | Path, window: str, form: str, begun: TypedForm | None = None) -> None:
    """Forget what a window typed into a form, and what it went on with from another.

    What the other window has typed since stays there.
    """
    with locked(folder):
        known = _read(_file(folder, window))
        mine = _typed(window, known.pop(form, None))
        _write(folder, window, known)
        of = mine.of if mine else (begun.window, begun.at) if begun else None
        while of is not None:
            there = _read(_file(folder, of[0]))
            other = _typed(of[0], there.get(form))
            if other is None or other.at != of[1]:
                return
            del there[form]
            _write(folder, of[0], there)
            of = other.of


def settle_typed(
    folder: str | Path, window: str, form: str, saved: dict[str, Any], begun: TypedForm | None
) -> None:
    """Forget what was saved, field by field; what was typed into a field since stays.

    Parameters
    ----------
    saved : dict
        By field, what was saved of it.
    begun : TypedForm or None
        As for `drop_typed`.
    """
    with locked(folder):
        known = _read(_file(folder, window))
        entry = _typed(window, known.get(form))
        more = {k: v for k, v in entry.now.items() if saved.get(k, k) != v} if entry else {}
        if entry is not None and more:
            was = {name: saved.get(name, entry.was.get(name)) for name in more}
            known[form] = {"at": _moment(), "was": was, "now": more, "of": None}
            _write(folder, window, known)
            return
    drop_typed(folder, window, form, begun)


def put_back_typed(folder: str | Path, form: str, typed: TypedForm) -> None:
    """Keep again what was forgotten by mistake."""
    with locked(folder):
        known = _read(_file(folder, typed.window))
        known[form] = {"at": _moment(), "was": typed.was, "now": typed.now, "of": None}
        _write(folder, typed.window, known)


def _taken(begun: TypedForm | None) -> TypedForm | None:
    if begun is None:
        return None
    return TypedForm("", "", begun.was, begun.now, (begun.window, begun.at))


def _all(folder: str | Path, form: str) -> Iterator[TypedForm]:
    for file in sorted((Path(folder) / TYPED_FOLDER).glob("*.json")):
        found = _typed(file.stem, _read(file).get(form))
        if found is not None:
            yield found


def _typed(window: str, entry: Any) -> TypedForm | None:
    """One form's entry of a file; None where there is none, or it is none."""
    if not isinstance(entry, dict):
        return None
    of = entry.get("of")
    return TypedForm(
        window, str(entry.get("at", "")), dict(entry.get("was") or {}),
        dict(entry.get("now") or {}), (of[0], of[1]) if of else None,
    )  # fmt: skip


def _file(folder: str | Path, window: str) -> Path:
    return Path(folder) / TYPED_FOLDER / f"{window}.json"


def _read(file: Path) -> dict[str, Any]:
    try:
        known = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):  # none, or cut short: what it held is typed again
        return {}
    return known if isinstance(known, dict) else {}


def _write(folder: str | Path, window: str, known: dict[str, Any]) -> None:
    """A window's file, or none where nothing is left."""
    file = _file(folder, window)
    if known:
        file.parent.mkdir(exist_ok=True)
        write_atomic(file, json.dumps(known, ensure_ascii=False, indent=1))
        return
    file.unlink(missing_ok=True)
    if file.parent.is_dir() and not any(file.parent.iterdir()):
        file.parent.rmdir()


def _moment() -> str:
    return datetime.now(UTC).isoformat(timespec="microseconds")
