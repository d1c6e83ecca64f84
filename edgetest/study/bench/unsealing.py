"""How do a sealed study's names come back, and who may read them before?"""

import json
from datetime import UTC, datetime
from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.checking import parse_toml
from edgetest.store.files import append_line, locked, write_atomic
from edgetest.store.history import HISTORY_FILE, Change
from edgetest.store.records import STUDY_FILE, load_study, study_of
from edgetest.store.sealed_file import SEALED_FILE, read_sealed
from edgetest.store.toml_edit import edited
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.words import counted

TABLE = "names"  # of these changes in the history: no undo takes them back
NAMES_A_BLADE = ("blade", "control", "reference")  # keys of study.toml


def labels_of(folder, word, *, sealed=None):
    """Which code belongs on which blade, for the person who ties them on; the history says so.

    Parameters
    ----------
    folder : str or Path
    word : str
    sealed : path-like, optional
        The sealed file, where it does not lie in the study's folder.

    Returns
    -------
    dict of str to str
        Blade to its code.

    Raises
    ------
    UnusableInput
        If nothing is sealed, the file is lost or damaged, or the word is another.
    """
    content = _opened(folder, word, sealed)
    with locked(folder):
        append_line(Path(folder) / HISTORY_FILE, names_entry("the key was read"))
    return content["codes"]


def unseal_names(folder, word, *, sealed=None):
    """Bring back what was sealed: names as the blades' titles, heat treatments, notes.

    The blades keep their codes, so that log, history and photographs stay as they were written.
    What was typed under a code meanwhile stands; what was sealed fills the rest.

    Parameters
    ----------
    folder, word, sealed
        As in `labels_of`.

    Returns
    -------
    dict of str to str
        Blade to its code.
    """
    content = _opened(folder, word, sealed)
    codes, folder = content["codes"], Path(folder)
    with locked(folder):
        now = load_study(folder).to_toml_dict()
        before = study_of(parse_toml(content["study"], STUDY_FILE), folder).to_toml_dict()
        wanted = _joined(now, before, codes)
        try:
            text = edited(content["study"], before, wanted)
        except UnusableInput:  # its comments are lost then, what it says is not
            text = edited((folder / STUDY_FILE).read_text(encoding="utf-8"), now, wanted)
        study_of(parse_toml(text, STUDY_FILE), folder)
        path = folder / HISTORY_FILE
        since = path.read_text(encoding="utf-8") if path.is_file() else ""
        since = since.removeprefix(content["history"])  # there where this was ended half-way
        words = f"unsealed: {counted(len(codes), 'blade')}"
        write_atomic(path, content["history"] + since + names_entry(words) + "\n")
        write_atomic(folder / STUDY_FILE, text)
    return codes


def names_entry(words):
    """What became of the names, as a line of the history."""
    when = datetime.now(UTC).isoformat(timespec="seconds")
    return json.dumps(vars(Change("names", TABLE, 0, None, {"names": words}, when)))


def sealed_study(folder):
    """The study, where its names are sealed; before anybody is asked for a word.

    Raises
    ------
    UnusableInput
        If they are not, or not any more.
    """
    study = load_study(folder)
    if not is_sealed(study):
        day = (study.plan or {}).get("unsealed")
        if day:
            mend = "there is nothing more to open: compare the blades"
            raise UnusableInput(f"its names were unsealed on {day}", str(folder), mend)
        mend = "`edgetest plan --blinded` seals them, before the first cut"
        raise UnusableInput("no names of it are sealed", str(folder), mend)
    return study


def _opened(folder, word, sealed):
    """What the sealed file of a study holds."""
    study = sealed_study(folder)
    return read_sealed(sealed or Path(folder) / SEALED_FILE, word, (study.plan or {})["sealed"])


def _joined(now, before, codes):
    """The study as it stands now, with what was sealed wherever it says nothing itself."""
    old = {blade["id"]: blade for blade in before["blades"]}
    current = {blade["id"]: blade for blade in now["blades"]}
    blades = []
    for name, code in codes.items():
        if code in current:
            title = old[name].get("title", "")
            told = {**old[name], "title": title if name in title else f"{name} {title}".strip()}
            own = {key: value for key, value in current.pop(code).items() if key != "title"}
            blades.append({**told, **own, "id": code})
    plan = {key: value for key, value in now["plan"].items() if key != "sealed"}
    plan |= {"unsealed": datetime.now(UTC).date().isoformat(), "codes": sorted(codes.values())}
    notes = "\n".join(part for part in (before.get("notes"), now.get("notes")) if part)
    joined = _coded({k: v for k, v in before.items() if k not in now}, codes) | now
    joined |= {"plan": plan, "blades": [*blades, *current.values()]}
    return joined | ({"notes": notes} if notes else {})


def _coded(part, codes):
    """Codes in place of the blades' names wherever a key names a blade."""
    if isinstance(part, dict):
        return {
            key: codes.get(value, value)
            if key in NAMES_A_BLADE and isinstance(value, str)
            else _coded(value, codes)
            for key, value in part.items()
        }
    return [_coded(one, codes) for one in part] if isinstance(part, list) else part
