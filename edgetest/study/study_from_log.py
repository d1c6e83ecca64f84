"""How does a study begin at the prompt: from a log that is there, or for some readings alone?"""

from pathlib import Path

from edgetest.errors import UnusableInput
from edgetest.store.files import csv_text
from edgetest.store.log_templates import empty_table
from edgetest.store.protocol import load_protocol
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source


def blades_of_log(path):
    """Blades of a log with the heat treatment that it names, and the heat treatments.

    Parameters
    ----------
    path : str or Path
        A CSV or XLSX log of cuts, or of chops.

    Returns
    -------
    (list of dict, list of dict)
        Tables as in study.toml.

    Raises
    ------
    UnusableInput
        If there is no such log, or naming every fault of its rows.
    """
    if Path(path).is_dir() or Path(path).suffix.lower() == ".toml":
        raise UnusableInput("is no log", str(path), "give its log.csv, log.xlsx or chops.csv")
    source = open_source(path)
    log = (source.chops if source.chops is not None else source.log).require()
    names = list(dict.fromkeys(row.blade for row in log.rows))
    if not names:
        raise UnusableInput("holds no row", str(path), "give a log with the column blade")
    treatment_of = getattr(log, "heat_treatment_of", lambda blade: "")
    treated = {name: treatment_of(name) for name in names}
    blades = [
        {"id": name, **({"heat_treatment": treated[name]} if treated[name] else {})}
        for name in names
    ]
    return blades, [{"id": name} for name in dict.fromkeys(filter(None, treated.values()))]


def study_from_log(folder, path, protocol_id, title, *, control=None):
    """Make a study of a log: its blades and heat treatments in study.toml, a copy of it beside.

    Parameters
    ----------
    folder : str or Path
        Made if need be; must not hold a study yet.
    path : str or Path
        The log; it stays as it is.
    protocol_id, title, control
        As `new_study` takes them.

    Raises
    ------
    UnusableInput
        As `blades_of_log` and `new_study`; nothing is made then.
    """
    folder, path = Path(folder), Path(path)
    blades, treatments = blades_of_log(path)
    facts = {"blades": blades, "heat_treatments": treatments, "control": control}
    table = load_protocol(protocol_id, folder).log
    return new_study(folder, protocol_id, title, **facts, log=(table, path.read_bytes()))


def log_for_readings(folder, protocol_id, blades, readings):
    """The empty log of a new study with rows for these readings alone.

    Parameters
    ----------
    folder : Path
        Of the study, where a protocol of one's own lies.
    protocol_id : str
    blades, readings : sequence of str

    Returns
    -------
    (str, bytes)
        Which log it is, and what it holds; as `new_study` takes it.

    Raises
    ------
    UnusableInput
        If the protocol has no such reading.
    """
    table, records = empty_table(blades, load_protocol(protocol_id, folder), readings)
    return table, csv_text(records).encode()


def reading_asked(folder, protocol_id, readings):
    """The reading that a new study is about, where its log leaves out the protocol's own.

    Parameters
    ----------
    folder : path-like
    protocol_id : str
    readings : sequence of str
        Those that the log gets rows for; empty for all.

    Returns
    -------
    str or None
    """
    limit = load_protocol(protocol_id, folder).limit
    return readings[0] if readings and limit and limit.reading not in readings else None
