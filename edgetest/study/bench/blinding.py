"""Are the names of a study's blades hidden, and what does the screen call each blade?

A sealed study holds codes alone (see `sealing`). One that was blinded by an earlier version holds
the names, with its key in clear beside the log: its bench goes on with the codes of that key.
"""

import hashlib
import json
from pathlib import Path

from edgetest.doubts import doubt
from edgetest.errors import UnusableInput

KEY_FILE = "sealed_key.json"  # of an earlier version, in clear


def is_sealed(study):
    """Whether the study holds codes in place of names, and a word opens these."""
    return study is not None and bool((study.plan or {}).get("sealed"))


def refuse_sealed(study):
    """Refuse a new order of a study whose names are sealed.

    Raises
    ------
    UnusableInput
    """
    if is_sealed(study):
        raise UnusableInput(
            "its names are sealed, and an order is drawn by heat treatments, which nobody sees now",
            "study.toml, plan",
            "keep to the order that was drawn, or `edgetest unseal` first",
        )


def refuse_sealed_look(study):
    """Refuse a look at a study whose names are sealed.

    Raises
    ------
    UnusableInput
    """
    if is_sealed(study):
        raise UnusableInput(
            "its names are sealed, and a look compares heat treatments, so none was made",
            "compare, --look",
            "take the last reading first, then `edgetest unseal`; if you must look before it, "
            "`edgetest unseal` now, and the rest of the test is no longer blind",
        )


def is_blinded(study):
    """Whether the screen shows no names: sealed, or blinded by an earlier version."""
    return is_sealed(study) or bool((study.plan or {}).get("blinded"))


def names_doubts(study):
    """What is to be known of an answer whose blades go or went by codes.

    Returns
    -------
    tuple of Doubt
    """
    plan = (study.plan if study else None) or {}
    if plan.get("sealed"):
        return (doubt("names_sealed"),)
    if plan.get("unsealed"):
        names = ", ".join(names_of_codes(study))
        return (doubt("names_unsealed", day=plan["unsealed"], names=names),) if names else ()
    return ()


def names_of_codes(study):
    """What each code was, once the names came back: "BMW is H1", one a blade that has a name.

    Parameters
    ----------
    study : Study or None

    Returns
    -------
    list of str
    """
    return [f"{code} is {name}" for code, name in name_of_code(study).items()]


def name_of_code(study):
    """The name of each blade whose code the log still holds, by code, once the names came back."""
    plan = (study.plan if study else None) or {}
    known = {blade.id: blade.title for blade in study.blades} if plan.get("unsealed") else {}
    return {code: known[code] for code in plan.get("codes", ()) if known.get(code)}


def shown_names(source):
    """What the screen calls each blade.

    Returns
    -------
    dict of str to str
        Blade to itself; in a study that an earlier version blinded, to its code.

    Raises
    ------
    UnusableInput
        If such a study's key is missing or not the one that was made with its plan.
    """
    study = source.study
    if is_sealed(study) or not is_blinded(study):
        return {blade.id: blade.id for blade in study.blades}
    path = Path(source.path) / KEY_FILE
    mend = (
        "put the key back into the study's folder, or take `blinded` out of [plan] in study.toml "
        "and go on with the blades' names"
    )
    if not path.is_file():
        what = "the study is blinded and its key is not here, so no code can be told from another"
        raise UnusableInput(what, KEY_FILE, mend)
    key = path.read_text(encoding="utf-8").rstrip("\n")
    print_of_key = hashlib.sha256(key.encode()).hexdigest()[:16]
    if print_of_key != str((study.plan or {}).get("fingerprint", "")):
        raise UnusableInput("the key is not the one that was made with the plan", KEY_FILE, mend)
    codes = json.loads(key)["codes"]
    unknown = [blade.id for blade in study.blades if blade.id not in codes]
    if unknown:
        raise UnusableInput(f"the key has no code for {', '.join(unknown)}", KEY_FILE, mend)
    return {blade.id: codes[blade.id] for blade in study.blades}
