"""What is one number of the steel tables called where people read of it?"""

from edgetest.steel.steel_titles import DONE_TITLES, EXPLANATION_TITLES
from edgetest.steel.steel_words import TESTS_BY_CODE

# By section; {row} and {word} are put into words first.
_SAID = {
    "prior": "the chance that {row} is {word}",
    "mixed": "the chance that {row} is not one steel",
    "sparks": "the chance of sparks {word} from {row}",
    "stream": "the chance of a stream {word} from {row}",
    "magnet": "the chance of a magnet held {word} by {row}",
    "forging": "the chance that {row} under the hammer {word}",
    "fracture": "the chance of a break ({word}) in {row} as found",
    "found_below": "the chance of {word} HRC below the skin of {row} as found",
    "found_skin": "the chance of {word} HRC on the skin of {row} as found",
    "steels": "{word} of {row}",
    "quench": "how much faster than oil {row} quenches",
    "heat": "the heat that {row} tells",
    "short": "the chance that a soak was too short",
    "done": "what a heat that was {row} takes from the hardness",
    "grain": "the chance of {word} grain after a heat that was {row}",
    "break": "the chance of a break ({word}) at {row} HRC",
    "crack": "the chance of a crack ({row})",
    "skin": "what the skin shows of the steel below it ({row})",
    "reading": "how far readings of hardness err ({row})",
    "temper": "what a temper takes from {row}",
    "soft_evidence": "how much sparks, stream and forging tell apart from each other",
    "life": "the life of an edge of {row}",
    "life_heat": "the life of an edge after a heat that was {row}",
    "soft_edge": "the hardness under which an edge gives out as a soft one",
    "edge": "the chance of an edge ({word}) after a heat that was {row}",
    "tough": "the chance that {row} bears use as a {word}",
    "forge": "the chance that a forge can treat {row}",
    "hours": "the hours of {row}",
}
_AS_ROW = {"something_else": "something else"}
_OWN = {
    "heat": {
        "lets_go": "the magnet letting go", "holds": "the magnet still holding",
        "not_told": "nobody", "instrument": "a thermometer", "steels": "the kind of steel",
    },
    "mixed": {"lot": "a lot", "piece": "a piece"},
    "temper": {
        "plain": "plain steel", "low_alloy": "low-alloy steel", "special": "steel rich in alloy",
    },
    "life_heat": {"trial": "judged by one trial"},
    "hours": {
        "known_steel_hours": "the known steel of one blade", "blade_hours": "one trial blade",
        "heat_again": "one more heat of a coupon", "cutting": "the cutting of a trial",
    } | {code: test.title.partition(",")[0] for code, test in TESTS_BY_CODE.items()}
    | {"temper_ladder": "a row of tempers"},
}  # fmt: skip
_OF_STEELS = {
    "carbon_pct": "the carbon", "carbon_sd_pct": "the spread of carbon",
    "hardens_above_c": "the heat that hardens the kind", "air_share": "the hardening in air",
    "coarsens_above_c": "the heat that coarsens the grain", "oil_mm": "the hardening in oil",
    "less_hrc": "the full hardness", "spread_hrc": "the spread of the full hardness",
}  # fmt: skip
_BETWEEN = {
    "under_30": "under 30", "to_45": "30 to 45", "to_57": "45 to 57", "over_57": "over 57",
    "from_57": "57 and more",
}  # fmt: skip
_FORGED = {
    "moves": "moves", "stiff": "is stiff", "crumbles": "crumbles",
    "splits_along_fibres": "splits along its fibres",
}  # fmt: skip
_WORDS = {"found_below": _BETWEEN, "found_skin": _BETWEEN, "steels": _OF_STEELS, "forging": _FORGED}


def number_said(section, row, word):
    """One number of the tables in words, without a code.

    Parameters
    ----------
    section, row, word : str
        Where it stands, as in `SteelTables.places`.

    Returns
    -------
    str
        Such as "the chance of sparks like high from plain steel, much carbon".
    """
    rows = _BETWEEN if section == "break" else _OWN.get(section, {})
    told = rows.get(row) or _AS_ROW.get(row) or DONE_TITLES.get(row) or EXPLANATION_TITLES.get(row)
    if told is None:
        told = "any piece" if section == "prior" and row == "unknown" else row.replace("_", " ")
    of_word = _WORDS.get(section, {}).get(word) or _AS_ROW.get(word) or EXPLANATION_TITLES.get(word)
    of_word = of_word or ("any other steel" if word == "other" else word.replace("_", " "))
    return _SAID[section].format(row=told, word=of_word)
