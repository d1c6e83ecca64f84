"""How does a fact of a blade get into study.toml at the prompt, what stood there before kept?"""

from edgetest.errors import UnusableInput
from edgetest.store.history import Change
from edgetest.store.records import STUDY_FILE, load_study
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.facts.fact_fields import BLADE, Fact
from edgetest.study.facts.fact_values import field_value
from edgetest.study.facts.facts_told import said_fact
from edgetest.study.facts.set_facts import facts_at, set_facts
from edgetest.study.words import listed

FACTS_OF_A_BLADE = {one.key: one for one in (Fact("heat_treatment", "Heat treatment"), *BLADE)}


def enter_blade(folder, blade, cells, *, replace=False) -> Change | None:
    """Put facts of a blade into study.toml; on disk, and in the history, on return.

    Parameters
    ----------
    folder : str or Path
    blade : str
        Its id.
    cells : dict of str to str
        By key of study.toml, as typed; of nothing behind its = the fact is taken out.
    replace : bool
        Whether what says something else is corrected.

    Returns
    -------
    Change or None
        None where all of it stands there already.

    Raises
    ------
    UnusableInput
        If the blade or a key is not known, the names are sealed, or a fact says otherwise than
        what stands there; nothing is written then.
    """
    study = load_study(folder)
    where = f"{STUDY_FILE}, blades, {blade}"
    known = [one.id for one in study.blades]
    if blade not in known:
        raise UnusableInput(f'there is no blade "{blade}"', where, f"one of {listed(known)}")
    unknown = [key for key in cells if key not in FACTS_OF_A_BLADE]
    if unknown:
        raise UnusableInput(
            f"{listed(unknown)}: no fact of a blade", where, f"one of {listed(FACTS_OF_A_BLADE)}"
        )
    if is_sealed(study):
        raise UnusableInput("its names are sealed", where, "`edgetest unseal` first")
    wishes = {
        key: field_value(cell, FACTS_OF_A_BLADE[key].kind, key) for key, cell in cells.items()
    }
    now = facts_at(folder, ("blades", blade))
    other = [key for key, value in wishes.items() if now.get(key) not in (None, "", value)]
    if other and not replace:
        told = ", ".join(f"{key} is {said_fact(now[key])}" for key in other)
        raise UnusableInput(f"{told} already", where, "correct it with --replace")
    return set_facts(folder, ("blades", blade), now, wishes)
