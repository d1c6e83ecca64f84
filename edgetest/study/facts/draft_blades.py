"""Which blades do the cards of a study that is set up name, with which heat treatment and facts?"""

import re

from edgetest.errors import UnusableInput
from edgetest.store.blades import Blade
from edgetest.store.checking import validate
from edgetest.store.heat_treatments import HeatTreatment
from edgetest.study.facts.fact_values import field_value
from edgetest.study.words import counted

SIZES = {"angle": "angle_per_side_deg", "edge": "edge_length_mm"}  # of a card, of a blade's table
CARDS_AT_FIRST = {"edge": 2, "chopper": 1, "steel": 0}  # two are compared; a tool stands alone


def card_blades(card):
    """The blades that one card names, as tables of study.toml without a heat treatment.

    Parameters
    ----------
    card : dict of str to str
        As typed: names (commas between), title, angle, edge.

    Raises
    ------
    UnusableInput
        Naming what is no number, or facts that stand there without a blade.
    """
    names = [" ".join(name.split()) for name in re.split(r"[,;\n]", card.get("names", ""))]
    names = [name for name in names if name]
    noted = {
        key: field_value(card[name], "size", key)
        for name, key in SIZES.items()
        if card.get(name, "").strip()
    }
    title = card.get("title", "").strip()
    noted |= {"title": title} if title else {}
    validate(Blade, {"id": "new", **noted}, "Blade")
    if not names and is_filled(card):
        raise UnusableInput("no blade is named", "Blades", "write K1, or what is marked on it")
    return [{"id": name, **noted} for name in names]


def card_treatment(card):
    """The heat treatment that a card names, as a table of study.toml without an id; {} for none.

    A temper that was typed is its one step, and names it where no name stands beside it.

    Raises
    ------
    UnusableInput
        Naming a temper that is no temperature.
    """
    named = " ".join(card.get("treatment", "").split())
    temper = field_value(card.get("temper", ""), "size", "temper")
    if temper is None:
        return {"title": named} if named else {}
    degrees = temper if isinstance(temper, str) else f"{temper:g} °C"
    steps = [{"kind": "temper", "temperature_c": temper}]
    table = {"title": named or f"temper {degrees}", "steps": steps}
    validate(HeatTreatment, {"id": "new", **table}, "Heat treatment")
    return table


def blades_read(made):
    """How many blades a card was read to name, and which; of a blank in a name, what parts two."""
    names = [blade["id"] for blade in made]
    one = " Several have commas between." if len(names) == 1 and " " in names[0] else ""
    return f"{counted(len(names), 'blade')}: {', '.join(names)}{'.' if one else ''}{one}"


def is_filled(card):
    """Whether anything was typed on a card."""
    return any(str(text).strip() for text in card.values())


def cards_shown(draft, *, another=False):
    """The cards of a draft: those that are filled, as many as a job begins with, or one more.

    Returns
    -------
    list of dict
    """
    cards = [dict(card) for card in draft.cards]
    while cards and not is_filled(cards[-1]):
        cards.pop()
    blank = max(CARDS_AT_FIRST[draft.job] - len(cards), int(another))
    return [*cards, *({} for _ in range(blank))]


def blades_of(draft):
    """Blades, heat treatments and control blade of a draft: of its cards, then those copied.

    Returns
    -------
    tuple of (list of dict, list of dict, str or None)
        As tables of study.toml.

    Raises
    ------
    UnusableInput
        Where a card cannot be read, or a name stands twice.
    """
    blades, treatments, control = [], list(draft.heat_treatments), draft.control
    for card in filter(is_filled, draft.cards):
        made = card_blades(card)
        table = card_treatment(card)
        mine = {"heat_treatment": treatment_among(treatments, table)} if table else {}
        blades += [{**blade, **mine} for blade in made]
        control = made[0]["id"] if card.get("known") else control
    blades += [dict(blade) for blade in draft.blades]
    names = [blade["id"] for blade in blades]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise UnusableInput(
            f"blade {twice} is there already", "Blades", "give one of them another name"
        )
    return blades, treatments, control


def treatment_among(treatments, given):
    """Id of a heat treatment among a draft's, which it joins where it is new.

    Parameters
    ----------
    treatments : list of dict
        Grown in place.
    given : str or dict
        Its name, or its whole table.
    """
    table = {"title": given} if isinstance(given, str) else dict(given)
    table.setdefault("id", slug(table["title"]))
    known = next((each for each in treatments if each["id"] == table["id"]), None)
    if known is None:
        treatments.append(table)
    elif table.get("steps", known.get("steps")) != known.get("steps"):
        what = f"{table['title']} has two tempers"
        raise UnusableInput(what, "Heat treatment", "give each a name of its own")
    return table["id"]


def slug(text):
    """A name that can stand as a file's and an id: small letters, digits, underscores."""
    plain = re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")
    return plain if plain[:1].isalpha() else f"s_{plain}".rstrip("_")
