"""Set up a bench session: what is cut, which blades; the draft is on disk at every step."""

import json
import re
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import locked, write_atomic
from edgetest.store.protocol import load_protocol, protocol_ids
from edgetest.store.records import load_study
from edgetest.store.workspace import change_study, list_studies, new_study, save_protocol
from edgetest.study.bench.session_file import SESSION_FILE
from edgetest.study.wear.planning import PlanOptions, drawn_order
from edgetest.study.wear.saved_plan import save_plan

DRAFT_FILE = ".new_session.json"


@dataclass(frozen=True)
class Draft:
    """A session that is being set up; `own` holds changes to the protocol, {} for none."""

    title: str = ""
    protocol: str = "sisal_rope"
    own: dict = field(default_factory=dict)
    blades: tuple[dict, ...] = ()
    heat_treatments: tuple[dict, ...] = ()
    control: str | None = None


def read_draft(root):
    """The draft in a workspace, or None."""
    path = Path(root) / DRAFT_FILE
    if not path.is_file():
        return None
    known = json.loads(path.read_text(encoding="utf-8"))
    names = {each.name for each in fields(Draft)}
    draft = Draft(**{name: value for name, value in known.items() if name in names})
    return _with(draft, blades=tuple(draft.blades), heat_treatments=tuple(draft.heat_treatments))


def change_draft(root, **changes):
    """Change parts of the draft, or begin one; on disk on return."""
    with locked(root):
        return _save(root, _with(read_draft(root) or Draft(), **changes))


def drop_draft(root):
    """Forget the draft."""
    (Path(root) / DRAFT_FILE).unlink(missing_ok=True)


def add_blade(root, blade, heat_treatment="", *, control=False):
    """Add one blade to the draft.

    Parameters
    ----------
    root : str or Path
        The workspace.
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
    with locked(root):
        draft = read_draft(root) or Draft()
        if name in [each["id"] for each in draft.blades]:
            raise UnusableInput(
                f"blade {name} is there already", "blades", "give the new one another name"
            )
        treatments = list(draft.heat_treatments)
        table = {**blade, "id": name}
        if heat_treatment:
            table["heat_treatment"] = _treatment(treatments, heat_treatment)
        return _save(
            root,
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


def remove_blade(root, name):
    """Take a blade out of the draft."""
    with locked(root):
        draft = read_draft(root) or Draft()
        return _save(
            root,
            _with(
                draft,
                blades=tuple(each for each in draft.blades if each["id"] != name),
                control=None if draft.control == name else draft.control,
            ),
        )


def copy_blades(root, folder, names):
    """Add blades of an earlier study to the draft, with their heat treatments."""
    study = load_study(folder)
    tables = study.to_toml_dict()
    treatments = {each["id"]: each for each in tables.get("heat_treatments", ())}
    for table in tables["blades"]:
        if table["id"] in names:
            treatment = treatments.get(table.get("heat_treatment"), "")
            add_blade(root, table, treatment, control=table["id"] == study.control)


def protocol_choices(root):
    """Protocols a session can run on: those that come along, and those of earlier studies.

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
    return found


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


def make_study(root, draft):
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
    if not draft.title.strip():
        raise UnusableInput("the session has no name", "name", "write what is compared")
    if not draft.blades:
        raise UnusableInput("there is no blade yet", "blades", "add the blades that are cut")
    rules = protocol_choices(root)[draft.protocol]
    folder = Path(root) / slug(draft.title)
    if (folder / "study.toml").exists():
        raise UnusableInput(
            f'a study "{draft.title}" is there already', "name", "give this one another name"
        )
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
    drop_draft(root)
    return folder


def needs_order(source):
    """Whether a study has no run order yet and nothing has been cut or read."""
    return (
        source.protocol.log == "log"
        and not source.study.plan
        and all(row.waiting for row in source.log.rows)
        and not (source.path / SESSION_FILE).is_file()
    )


def draw_order(source, blocks, *, seed, blinded):
    """Draw the random run order and the codes, and write them into the study.

    Parameters
    ----------
    source : Source
    blocks : sequence of str
        Rolls, boards or days, in the order in which they come.
    seed : int
        The same seed gives the same order.
    blinded : bool
        The bench shows codes instead of names.
    """
    drawn, key = drawn_order(source.study, PlanOptions(blocks=blocks, seed=seed))
    save_plan(source, drawn, key, blinded=blinded)


def keep_order(source):
    """Begin with the blades in the order in which the study lists them."""
    order = [["", blade.id] for blade in source.study.blades]
    change_study(source.path, lambda now: now.model_copy(update={"plan": {"order": order}}))


def numbers(text, *, whole=False):
    """Numbers typed in a row, as "0, 10, 25" or "0 10 25".

    Raises
    ------
    UnusableInput
        Naming the word that is no number.
    """
    found = []
    for word in re.split(r"[;\s]+|,\s*", text.strip()):
        if not word:
            continue
        try:
            found.append(int(word) if whole else float(word))
        except ValueError:
            kind = "a whole number" if whole else "a number"
            raise UnusableInput(
                f'"{word}" is not {kind}', "numbers", "write them with blanks between"
            ) from None
    return found


def slug(text):
    """A name that can stand as a file's and an id: small letters, digits, underscores."""
    plain = re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")
    return plain if plain[:1].isalpha() else f"s_{plain}".rstrip("_")


def _with(draft, **changes):
    return Draft(**{**asdict(draft), **changes})


def _save(root, draft):
    write_atomic(Path(root) / DRAFT_FILE, json.dumps(asdict(draft), ensure_ascii=False, indent=1))
    return draft
