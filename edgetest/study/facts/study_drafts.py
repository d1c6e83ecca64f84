"""How is a study set up for a job, step by step, each step on disk at once?"""

import json
import re
import secrets
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import locked, write_atomic
from edgetest.store.log_templates import planned_table
from edgetest.store.protocol import load_protocol, protocol_ids
from edgetest.store.records import load_study
from edgetest.store.study_jobs import begin_test
from edgetest.store.study_list import list_studies
from edgetest.store.workspace import (
    new_steel_study,
    new_study,
    save_protocol,
)
from edgetest.study.facts.draft_blades import blades_of, slug, treatment_among
from edgetest.study.facts.fact_values import field_value

DRAFTS = ".drafts"
JOBS = {
    "edge": "Which holds its edge longer?",
    "chopper": "What can this chopper do?",
    "steel": "Is this steel worth forging?",
}


@dataclass(frozen=True)
class Draft:
    """A study that is being set up for a job, as typed.

    `own` holds changes to the protocol, {} for none; `cards` what was typed of blades, one card
    a heat treatment or a tool; `blades` and `heat_treatments` those copied from an earlier study;
    `study` the folder of the study that the job is added to, "" for a new one.
    """

    job: str = "edge"
    title: str = ""
    protocol: str = ""
    own: dict = field(default_factory=dict)
    use: str = ""
    study: str = ""
    cards: tuple[dict, ...] = ()
    blades: tuple[dict, ...] = ()
    heat_treatments: tuple[dict, ...] = ()
    control: str | None = None


def begin_draft(root, job, *, study=""):
    """Begin a draft for a job; its file, which belongs to whoever began it.

    Parameters
    ----------
    root : str or Path
        The workspace.
    job : str
        A key of `JOBS`.
    study : str
        Folder of the study that the job is added to; "" for a study of its own.
    """
    folder = Path(root) / DRAFTS
    folder.mkdir(exist_ok=True)
    file = folder / f"{secrets.token_hex(4)}.json"
    title = load_study(Path(root) / study).title if study else ""
    _save(file, Draft(job=job, study=study, title=title))
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
    except (OSError, ValueError, RecursionError):
        return None
    names = {each.name for each in fields(Draft)}
    draft = Draft(**{name: value for name, value in known.items() if name in names})
    lists = {name: tuple(getattr(draft, name)) for name in ("cards", "blades", "heat_treatments")}
    return _with(draft, **lists)


def change_draft(file, **changes):
    """Change parts of a draft; on disk on return."""
    with locked(Path(file).parent):
        return _save(file, _with(read_draft(file) or Draft(), **changes))


def drop_draft(file):
    """Forget a draft."""
    Path(file).unlink(missing_ok=True)


def change_card(file, number, **texts):
    """Change what one card of the draft says; a card that is not there yet is made."""
    with locked(Path(file).parent):
        draft = read_draft(file) or Draft()
        cards = [dict(card) for card in draft.cards]
        cards += [{} for _ in range(number + 1 - len(cards))]
        cards[number] |= texts
        return _save(file, _with(draft, cards=tuple(cards)))


def remove_blade(file, name):
    """Take a copied blade out of the draft."""
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
    """Add blades of an earlier study to the draft, with their heat treatments.

    Raises
    ------
    UnusableInput
        If a blade of that name is in the draft.
    """
    study = load_study(folder)
    tables = study.to_toml_dict()
    known = {each["id"]: each for each in tables.get("heat_treatments", ())}
    picked = [dict(table) for table in tables["blades"] if table["id"] in names]
    with locked(Path(file).parent):
        draft = read_draft(file) or Draft()
        treatments = list(draft.heat_treatments)
        for table in picked:
            if table.get("heat_treatment"):
                own = known[table["heat_treatment"]]
                table["heat_treatment"] = treatment_among(treatments, own)
        control = study.control if study.control in names else draft.control
        grown = _with(
            draft,
            blades=(*draft.blades, *picked),
            heat_treatments=tuple(treatments),
            control=control,
        )
        blades_of(grown)
        return _save(file, grown)


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
            rule.pop("all_stations_at", None)
    limit = data.get("limit")
    if limit and limit["reading"] not in own["readings"]:
        data.pop("limit")
    elif limit and own.get("limit") is not None:
        data["limit"] = limit | {"value": own["limit"], "source": "set by the maker"}
    data["sources"] = data["sources"] | {"stages": "set by the maker"}
    return data


def chosen_rules(rules, own):
    """A protocol as a draft changes it, to be described and counted; none of it is checked.

    Parameters
    ----------
    rules : Protocol
    own : dict
        As of `own_rules`; empty where nothing is changed.

    Returns
    -------
    Protocol
    """
    if not own:
        return rules
    named = {"kind": own["medium"], "size": own["size"]}
    changes = {
        "stages": tuple(own["stages"]),
        "stations_mm": tuple(own["stations"]),
        "readings": tuple(rule for rule in rules.readings if rule.name in own["readings"]),
        "medium": rules.medium.model_copy(update=named),
    }
    return rules.model_copy(update=changes)


def rows_to_come(root, draft):
    """How many rows the log of a draft will have, for each check at each place and stage.

    Parameters
    ----------
    root : Path
    draft : Draft

    Returns
    -------
    int
        0 while protocol or blades are missing.
    """
    rules = protocol_choices(root, draft.job).get(draft.protocol)
    try:
        blades, _, _ = blades_of(draft)
    except UnusableInput:
        return 0
    if rules is None or not blades:
        return 0
    runs = [("", blade["id"]) for blade in blades]
    return len(planned_table(runs, chosen_rules(rules, draft.own))[1]) - 1


def make_study(file):
    """Make the study of a draft, or add its job to the study that it names; drop the draft.

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
    folder = Path(root) / (draft.study or slug(draft.title))
    if not draft.study and (folder / "study.toml").exists():
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
    """A study with a protocol and blades, or a study of a steel that gets them."""
    if not draft.protocol:
        raise UnusableInput("is not chosen", "Protocol", "choose how it is tested")
    blades, treatments, control = blades_of(draft)
    if not blades:
        raise UnusableInput("there is none yet", "Blades", "name the blades that are tested")
    rules = protocol_choices(root, draft.job)[draft.protocol]
    name = draft.protocol
    if draft.own or name.endswith(".toml"):
        folder.mkdir(exist_ok=True)
        data = own_rules(rules, draft.own) if draft.own else rules.to_toml_dict()
        name = save_protocol(data, folder).name
    used = {blade.get("heat_treatment") for blade in blades}
    facts = {
        "blades": blades,
        "heat_treatments": [each for each in treatments if each["id"] in used],
        "control": control,
    }
    if draft.study:
        begin_test(folder, name, **facts)
    else:
        new_study(folder, name, draft.title.strip(), **facts)


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


def _with(draft, **changes):
    return Draft(**{**asdict(draft), **changes})


def _save(file, draft):
    write_atomic(Path(file), json.dumps(asdict(draft), ensure_ascii=False, indent=1))
    return draft
