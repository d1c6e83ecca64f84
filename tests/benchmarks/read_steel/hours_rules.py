"""Rules for sentences on blades and hours: what is made, bought or tested, and what it costs."""

# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel.seen_rows import PLACES
from tests.benchmarks.read_steel.sentence_rules import rule


@rule(r"It makes (\d+): known steel for (?:it|them) costs [\d.]+ h, the testing .*")
def makes(m, steel, told):
    """As many blades as typed of a piece for which known steel is bought, or of the one asked."""
    meant = {p["piece"] for p in told["pieces"] if p["action"] == "buy_known"} | {told["piece"]}
    noted = [p.get("makes_blades", 1) for p in steel.pieces if p["id"] in meant]
    return [] if int(m[1]) in noted else [f"they make {noted}"]


@rule(r"Lot (.+) makes (\d+): known steel for them costs [\d.]+ h, the testing .*")
def lot_makes(m, steel, told):
    """As many blades as typed of all pieces of the lot."""
    lot, kind = re.fullmatch(r"(.+?)(?: \((.+)\))?", m[1]).groups()
    own = [p for p in steel.pieces if p.get("lot") == lot and kind in (None, p.get("origin"))]
    noted = sum(p.get("makes_blades", 0) for p in own)
    return [] if noted == int(m[2]) else [f"lot {m[1]} makes {noted}"]


@rule(r"Blades by what is next: (.+)\.")
def blades_told(m, steel, _):
    """So many as typed of the pieces that each step names."""
    noted, wrong = {p["id"]: p.get("makes_blades", 0) for p in steel.pieces}, []
    for many, names in re.findall(r": (\d+) of ([^;]+)", m[1]):
        named = [noted.get(name, 0) for name in re.split(r", | and ", names)]
        wrong += [] if sum(named) == int(many) else [f"{names} make {sum(named)}"]
    return wrong


@rule(r"Known steel for (?:all|the) (\d+)(?: you want)? would cost ([\d.]+) h\.")
def known_for_all(m, steel, _):
    """As many blades as wanted, else as typed of all pieces, and the hours for so many."""
    made = sum(p.get("makes_blades", 0) for p in steel.pieces)
    noted = steel.verdict.get("blades_wanted", made)
    cost = noted * float(steel.verdict.get("known_steel_hours", 2))
    return [] if (noted, f"{cost:.3g}") == (int(m[1]), m[2]) else [f"{noted} cost {cost} h"]


@rule(r"If you want fewer, write how many as blades_wanted into \[verdict\] of study\.toml\.")
def fewer(_, steel, __):
    """Nobody wrote how many are wanted."""
    return ["blades_wanted was typed"] if "blades_wanted" in steel.verdict else []


@rule(r"(?:A trial blade of each of|The trial blade of) (.+) costs about [\d.]+ h beside .+\.")
def trial_blades(m, _, told):
    """It is next with each of the pieces named."""
    due = {one["piece"] for one in told["pieces"] if one["way"] == "trial_blade"}
    return sorted(set(re.split(r", | and ", m[1])) - due)


@rule(
    r"You want (\d+): (\d+) can be made now, (\d+) hang on what is next, and (\d+) are left (?:to make of the others or )?to buy(?:, for ([\d.]+) h)?\."
)
def blades_wanted(m, steel, _):
    """As many as typed, and they add up."""
    cost = int(m[4]) * float(steel.verdict.get("known_steel_hours", 2))
    adds = int(m[1]) == sum(map(int, m.group(2, 3, 4))) == steel.verdict.get("blades_wanted")
    return [] if adds and (m[5] or "0") == f"{cost:.3g}" else [f"{steel.verdict}"]


@rule(r"Known steel for (?:its|their) (\d+) costs ([\d.]+) h\.")
def known_for_some(m, steel, _):
    """The hours for so many."""
    cost = int(m[1]) * float(steel.verdict.get("known_steel_hours", 2))
    return [] if f"{cost:.3g}" == m[2] else [f"it is {cost} h"]


@rule(
    r"This counts (your )?([\d.]+) h for the known steel of one blade and (your )?([\d.]+) h for one trial blade.*"
)
def hours_counted(m, steel, _):
    """Those typed are called yours, and the others are the program's."""
    typed = [steel.verdict.get(name) for name in ("known_steel_hours", "blade_hours")]
    due = [2 if typed[0] is None else typed[0], 8 if typed[1] is None else typed[1]]
    whose = [bool(m[1]), bool(m[3])] == [one is not None for one in typed]
    right = [float(m[2]), float(m[4])] == [float(one) for one in due]
    return [] if whose and right else [f"typed are {typed}"]


@rule(r"Of (.+) nobody wrote how many they make\.")
def blades_untold(m, steel, _):
    """None was typed of these."""
    typed = {p["id"] for p in steel.pieces if p.get("makes_blades")}
    return sorted(typed & set(re.split(r", | and ", m[1])))


@rule(r"Known steel costs [\d.]+ h: now that a temper fits, the next blade is one of those .+")
def temper_fits(_, steel, told):
    """Some temper of the piece was read."""
    mine = [t for t in steel.tempers if t.get("piece") == told["piece"]]
    return [] if any(PLACES.keys() & t.keys() for t in mine) else ["no temper was read"]
