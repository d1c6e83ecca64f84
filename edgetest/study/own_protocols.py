"""Protocols of one's own in a study's folder: which there are, and which one the study uses."""

from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.protocol import Protocol, load_protocol, protocol_ids
from edgetest.store.records import STUDY_FILE
from edgetest.store.workspace import change_study
from edgetest.study.wear.kept_repeats import REPEATS_FILE


def known_protocols(folder):
    """Every protocol that a study may use, by its name in study.toml; its own ones first.

    Returns
    -------
    dict of str to Protocol or UnusableInput
        A file of one's own that has a fault stands with its fault.
    """
    others = (STUDY_FILE, REPEATS_FILE)
    own = sorted(path.name for path in Path(folder).glob("*.toml") if path.name not in others)
    found: dict[str, Protocol | UnusableInput] = {}
    for name in (*own, *protocol_ids()):
        try:
            found[name] = load_protocol(name, folder)
        except UnusableInput as fault:
            found[name] = fault
    return found


def use_protocol(folder, name):
    """Let the study use another protocol.

    Raises
    ------
    UnusableInput
        If the study's reading or limit does not go with it; study.toml is as before then.
    """
    change_study(folder, lambda study: study.model_copy(update={"protocol": name}))


def free_name(folder, name):
    """A name for a copy of a protocol that no file here has yet."""
    number = 1
    while (Path(folder) / f"{name}_own{'' if number == 1 else f'_{number}'}.toml").exists():
        number += 1
    return f"{name}_own{'' if number == 1 else f'_{number}'}"
