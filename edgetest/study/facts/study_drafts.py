"""How is a study set up for a job, step by step, each step on disk at once?"""

import json
import re
import secrets
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import locked, write_atomic
from edgetest.store.protocol import load_protocol, protocol_ids
from edgetest.store.records import load_study
from edgetest.store.workspace import (
    list_studies,
    new_steel_study,
    new_study,
    save_protocol,
)
from edgetest.study.facts.fact_values import field_value

DRAFTS = ".drafts"
JOBS = {
    "edge": "Which holds its edge longer?",
    "chopper": "What can this chopper do?",
    "steel": "Is this steel worth forging?",
}


@dataclass(frozen=True)
class Draft:
    """A study that is being set up for a job; `own` holds changes to the protocol, {} for none."""

    job: str = "edge"
    title: str = ""
    protocol: str = ""
    own: dict = field(default_factory=dict)
    use: str = ""
    blades: tuple[dict, ...] = ()
    heat_treatments: tuple[dict, ...] = ()
    control: str | None = None


def begin_draft(root, job):
    """Begin a draft for a job; its file, which belongs to whoever began it."""
    folder = Path(root) / DRAFTS
    folder.mkdir(exist_ok=True)
    file = folder / f"{secrets.token_hex(4)}.json"
    _save(file, Draft(job=job))
    return file


def draft_file(root, name):
    """The file of the draft of that name, or None where it is made or dropped by now."""
    file = Path(root) / DRAFTS / f"{name}.json"
    return file if re.fullmatch(r"[0-9a-f]{8}", name) and file.is_file() else None


def drafts_begun(root):
    """Every draft of a workspace, by its file: those begun last come first."""
    files = sorted((Path(root) / DRAFTS).glob("*.json"), key=lambda f: -f.stat().st_mtime_ns)
    return {file: draft for file in files if (draft := read_draft(file)) is not None}


def read_draft(file):
    """A draft, or None where there is none, or what is there was cut short."""
    try:
        known = json.loads(Path(file).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    names = {each.name for each in fields(Draft)}
    draft = Draft(**{name: value for name, value in known.items() if name in names})
    return _with(draft, blades=tuple(draft.blades), heat_treatments=tuple(draft.heat_treatments))


def change_draft(file, **changes):
    """Change parts of a draft; on disk on return."""
    with locked(Path(file).parent):
        return _save(file, _with(read_draft(file) or Draft(), **changes))


def drop_draft(file):
    """Forget a draft."""
    Path(file).unlink(missing_ok=True)


def add_blade(file, blade, heat_treatment="", *, control=False):
    """Add one blade to the draft.

    Parameters
    ----------
    file : str or Path
        Of the draft.
    blade : dict
        Keys as in study.toml: id, angle_per_side_deg, …
    heat_treatment : str or dict
        Its name, or a whole heat treatment copied from an earlier study; "" for none named.
    control : bool
        This blade is the control blade.

    Raises
    ------
    UnusableInput
        If it has no name, or a blade of that name is there.
    """
    name = " ".join(str(blade.get("id", "")).split())
    if not name:
        raise UnusableInput("a blade needs a name", "blades", "write K1, or what is marked on it")
    with locked(Path(file).parent):
        draft = read_draft(file) or Draft()
        if name in [each["id"] for each in draft.blades]:
            raise UnusableInput(
                f"blade {name} is there already", "blades", "give the new one another name"
            )
        treatments = list(draft.heat_treatments)
        table = {**blade, "id": name}
        if heat_treatment:
            table["heat_treatment"] = _treatment(treatments, heat_treatment)
        return _save(
            file,
            _with(
                draft,
                blades=(*draft.blades, table),
                heat_treatments=tuple(treatments),
                control=name if control else draft.control,
            ),
        )


def _treatment(treatments, given):
    """Id of a heat treatment among the draft's, which it joins where it is new."""
    table = {"title": " ".join(given.split())} if isinstance(given, str) else dict(given)
    table.setdefault("id", slug(table["title"]))
    if table["id"] not in [each["id"] for each in treatments]:
        treatments.append(table)
    return table["id"]


def remove_blade(file, name):
    """Take a blade out of the draft."""
    with locked(Path(file).parent):
        draft = read_draft(file) or Draft()
        return _save(
            file,
            _with(
                draft,
                blades=tuple(each for each in draft.blades if each["id"] != name),
                control=None if draft.control == name else draft.control,
            ),
        )


def copy_blades(file, folder, names):
    """Add blades of an earlier study to the draft, with their heat treatments."""
    study = load_study(folder)
    tables = study.to_toml_dict()
    treatments = {each["id"]: each for each in tables.get("heat_treatments", ())}
    for table in tables["blades"]:
        if table["id"] in names:
            treatment = treatments.get(table.get("heat_treatment"), "")
            add_blade(file, table, treatment, control=table["id"] == study.control)


def protocol_choices(root, job="edge"):
    """Protocols for a job: those that come along, and those of earlier studies.

    Returns
    -------
    dict of str to Protocol
        By what `Draft.protocol` says: an id, or "folder/name.toml".
    """
    found = {name: load_protocol(name) for name in protocol_ids()}
    for entry in list_studies(root):
        if entry.fault is None and entry.protocol.endswith(".toml"):
            rules = load_study(entry.folder).rules
            found[f"{entry.folder.name}/{entry.protocol}"] = rules
    table = "chops" if job == "chopper" else "log"
    return {name: rules for name, rules in found.items() if rules.log == table}


def own_rules(rules, own):
    """A protocol with the changes of a draft.

    Parameters
    ----------
    rules : Protocol
        The one that was copied.
    own : dict
        title, medium, size (text); stages, stations (lists of numbers); readings (names);
        limit (number).

    Returns
    -------
    dict
        Tables of a protocol file; `save_protocol` checks them.
    """
    data = rules.to_toml_dict()
    data |= {"id": slug(own["title"]), "title": own["title"]}
    data["medium"] |= {"kind": own["medium"], "size": own["size"], "source": "set by the maker"}
    data["stages"], data["stations_mm"] = own["stages"], own["stations"]
    data["readings"] = [rule for rule in data["readings"] if rule["name"] in own["readings"]]
    if not any(rule.get("kind") == "grade" for rule in data["readings"]):
        data.pop("ladder", None)
    if not own["stations"]:
        for rule in data["readings"]:
            rule.pop("at_stations", None)
    limit = data.get("limit")
    if limit and limit["reading"] not in own["readings"]:
        data.pop("limit")
    elif limit and own.get("limit") is not None:
        data["limit"] = limit | {"value": own["limit"], "source": "set by the maker"}
    data["sources"] = data["sources"] | {"stages": "set by the maker"}
    return data


def make_study(file):
    """Make the study of a draft and drop the draft.

    Returns
    -------
    Path
        Its folder.

    Raises
    ------
    UnusableInput
        Naming what is missing or wrong; the draft stays.
    """
    draft, root = read_draft(file), Path(file).parent.parent
    if draft is None:
        raise UnusableInput("it is made or dropped already", "this study", "begin it again")
    if not draft.title.strip():
        raise UnusableInput("is still blank", "Name", "write what you will know it by")
    folder = Path(root) / slug(draft.title)
    if (folder / "study.toml").exists():
        raise UnusableInput(
            f'a study "{draft.title}" is there already', "Name", "give this one another name"
        )
    if draft.job == "steel":
        new_steel_study(folder, draft.title.strip(), use=draft.use or None)
    else:
        _new_test(root, folder, draft)
    drop_draft(file)
    return folder


def _new_test(root, folder, draft):
    """A study with a protocol and blades."""
    if not draft.protocol:
        raise UnusableInput("is not chosen", "Protocol", "choose how it is tested")
    if not draft.blades:
        raise UnusableInput("there is none yet", "Blades", "add the blades that are tested")
    rules = protocol_choices(root, draft.job)[draft.protocol]
    name = draft.protocol
    if draft.own or name.endswith(".toml"):
        folder.mkdir(exist_ok=True)
        data = own_rules(rules, draft.own) if draft.own else rules.to_toml_dict()
        name = save_protocol(data, folder).name
    used = {blade.get("heat_treatment") for blade in draft.blades}
    new_study(
        folder,
        name,
        draft.title.strip(),
        blades=draft.blades,
        heat_treatments=[each for each in draft.heat_treatments if each["id"] in used],
        control=draft.control,
    )


def numbers(text, *, whole=False):
    """Numbers typed in a row, as "0, 10, 25" or "0 10 25".

    Raises
    ------
    UnusableInput
        Naming the word that is no number.
    """
    found = field_value(text, "numbers", "numbers") or []
    wrong = [number for number in found if whole and number != int(number)]
    if wrong:
        raise UnusableInput(f'"{wrong[0]:g}" is not a whole number', "numbers", "count whole cuts")
    return [int(number) if whole else float(number) for number in found]


def slug(text):
    """A name that can stand as a file's and an id: small letters, digits, underscores."""
    plain = re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")
    return plain if plain[:1].isalpha() else f"s_{plain}".rstrip("_")


def _with(draft, **changes):
    return Draft(**{**asdict(draft), **changes})


def _save(file, draft):
    write_atomic(Path(file), json.dumps(asdict(draft), ensure_ascii=False, indent=1))
    return draft
