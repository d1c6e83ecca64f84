"""Rules for sentences on blades and hours: what is made, bought or tested, and what it costs."""

# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel.seen_rows import PLACES
from tests.benchmarks.read_steel.sentence_rules import rule


def left(steel, piece):
    """Blades typed of a piece, without those that broke or cracked by their rows."""

    def blade(row):
        return row.get("blade") or str(row.get("coupon", "")).casefold().startswith("blade")

    own = [t for t in steel.trials if t.get("piece") == piece["id"] and t.get("edge") == "broke"]
    own = [t for t in own if t["test"] in ("rope", "chop") or blade(t)]
    cracked = [h for h in steel.heats if h.get("piece") == piece["id"] and h.get("cracked")]
    lost = {h.get("coupon") or h.get("blade") for h in cracked if blade(h)}
    lost |= {t.get("coupon") or t.get("blade") or n for n, t in enumerate(own)}
    return max(piece.get("makes_blades", 0) - len(lost), 0)


STAKE = (
    r"(?:, of which (?:(\d+|none) (?:is|are) left)?(?: and )?(?:you want (\d+)(?: more)?)?)?"
    r"(?:: known steel for (?:it|them) costs ([\d.]+) h"
    r"(?:, of which ([\d.]+) h are at stake by the chance of ((?:over |under )?[\d.]+ %) that the "
    r"piece serves)?; the testing still ahead costs more, ([\d.]+) h \(.+\))?\."
)


def weighed(m, steel, many):
    """Hours of known steel for the blades told, those by the chance, and more of testing."""
    want, costs, stake, chance, ahead = m.groups()[-5:]
    wanted = steel.verdict.get("blades_wanted")
    few = wanted is not None and wanted < many
    if not costs:
        return []
    wrong = [] if (want == str(wanted) if few else want is None) else [f"wanted are {wanted}"]
    due = (wanted if few else many) * float(steel.verdict.get("known_steel_hours", 2))
    wrong += [] if costs == f"{due:.3g}" else [f"known steel costs {due} h"]
    if stake:
        share = float(re.search(r"[\d.]+", chance)[0]) / 100
        wrong += [] if abs(float(stake) - due * share) <= 0.006 * due + 0.01 else [f"{due * share}"]
    return wrong + ([] if float(stake or costs) < float(ahead) else ["testing costs less"])


@rule(rf"It makes (\d+){STAKE}")
def makes(m, steel, told):
    """As many blades as typed of a piece for which known steel is bought, or of the one asked."""
    meant = {p["piece"] for p in told["pieces"] if p["action"] == "buy_known"} | {told["piece"]}
    noted = [p for p in steel.pieces if p["id"] in meant]
    said = (int(m[1]), int(m[1] if m[2] is None else m[2].replace("none", "0")))
    due = [(p.get("makes_blades", 1), left(steel, p)) for p in noted]
    return [*([] if said in due else [f"they make {due}"]), *weighed(m, steel, said[1])]


@rule(rf"Lot (.+?) makes (\d+){STAKE}")
def lot_makes(m, steel, told):
    """As many blades as typed of all pieces of the lot."""
    lot, kind = re.fullmatch(r"(.+?)(?: \((.+)\))?", m[1]).groups()
    own = [p for p in steel.pieces if p.get("lot") == lot and kind in (None, p.get("origin"))]
    noted = sum(p.get("makes_blades", 0) for p in own)
    due = sum(left(steel, p) for p in own)
    right = noted == int(m[2]) and due == int((m[3] or m[2]).replace("none", "0"))
    wrong = [] if right else [f"lot {m[1]} makes {noted}, and {due} are left"]
    return [*wrong, *weighed(m, steel, due)]


@rule(r"Blades by what is next: (.+)\.")
def blades_told(m, steel, _):
    """So many as typed of the pieces that each step names."""
    noted, wrong = {p["id"]: left(steel, p) for p in steel.pieces}, []
    for many, names in re.findall(r": (\d+) of ([^;]+)", m[1]):
        named = [noted.get(name, 0) for name in re.split(r", | and ", names)]
        wrong += [] if sum(named) == int(many) else [f"{names} make {sum(named)}"]
    return wrong


@rule(r"Known steel for (?:all|the) (\d+)(?: you want)? would cost ([\d.]+) h\.")
def known_for_all(m, steel, _):
    """As many blades as wanted, else as typed of all pieces, and the hours for so many."""
    made = sum(left(steel, p) for p in steel.pieces)
    noted = steel.verdict.get("blades_wanted", made)
    cost = noted * float(steel.verdict.get("known_steel_hours", 2))
    return [] if (noted, f"{cost:.3g}") == (int(m[1]), m[2]) else [f"{noted} cost {cost} h"]


@rule(
    r"(?:Want fewer\?|(?:Want fewer\? )?Write how many as blades_wanted into \[verdict\] of study\.toml\.)"
)
def fewer(_, steel, __):
    """Nobody wrote how many are wanted."""
    return ["blades_wanted was typed"] if "blades_wanted" in steel.verdict else []


@rule(r"(?:A trial blade of each of|The trial blade of) (.+) costs about [\d.]+ h beside .+\.")
@rule(
    r"(?:A trial blade of each of|The trial blade of) (.+) is beyond those you want: make it .+\."
)
def trial_blades(m, _, told):
    """It is next with each of the pieces named."""
    due = {one["piece"] for one in told["pieces"] if one["way"] == "trial_blade"}
    return sorted(set(re.split(r", | and ", m[1])) - due)


@rule(
    r"You want (\d+): (\d+) made or to make now, (\d+) that hang on what is next, and (\d+) left (?:to make of the others or )?to buy(?:, for ([\d.]+) h)?\."
)
def blades_wanted(m, steel, _):
    """As many as typed, and they add up."""
    cost = int(m[4]) * float(steel.verdict.get("known_steel_hours", 2))
    adds = int(m[1]) == sum(map(int, m.group(2, 3, 4))) == steel.verdict.get("blades_wanted")
    return [] if adds and (m[5] or "0") == f"{cost:.3g}" else [f"{steel.verdict}"]


@rule(
    r"Known steel for (?:(?:its|their) )?(\d+)(?: of (?:its|their) \d+, as many as you want still,)? costs ([\d.]+) h\."
)
def known_for_some(m, steel, _):
    """The hours for so many."""
    cost = int(m[1]) * float(steel.verdict.get("known_steel_hours", 2))
    return [] if f"{cost:.3g}" == m[2] else [f"it is {cost} h"]


@rule(
    r"This counts (your )?([\d.]+) h for one blade's known steel \(its price\) and (your )?([\d.]+) h for one trial blade.*"
)
def hours_counted(m, steel, _):
    """Those typed are called yours, and the others are the program's."""
    typed = [steel.verdict.get(name) for name in ("known_steel_hours", "blade_hours")]
    due = [2 if typed[0] is None else typed[0], 8 if typed[1] is None else typed[1]]
    whose = [bool(m[1]), bool(m[3])] == [one is not None for one in typed]
    right = [float(m[2]), float(m[4])] == [float(one) for one in due]
    return [] if whose and right else [f"typed are {typed}"]


@rule(r"Taken off what you wrote: (.+), which broke or cracked\.")
def blades_lost(m, steel, _):
    """Each piece that is named lost a blade by its rows."""
    named = {p["id"]: p for p in steel.pieces if f" of {p['id']}" in m[1]}
    return [f"{n} lost none" for n, p in named.items() if left(steel, p) == p["makes_blades"]]


@rule(r"Made besides, and stood: (.+)\.")
def made_and_stood(m, steel, _):
    """Each piece that is named has a trial, of a named blade, whose edge did not give out."""
    whole = [t for t in steel.trials if t.get("edge") in (None, "sound")]
    stood = {t["piece"] for t in whole if t.get("coupon")}
    return sorted(set(re.findall(r"\d+ of ([^,]+?)(?:,| and |$)", m[1])) - stood)


@rule(r"Of (.+) nobody wrote how many they make\.")
def blades_untold(m, steel, _):
    """None was typed of these."""
    typed = {p["id"] for p in steel.pieces if p.get("makes_blades")}
    return sorted(typed & set(re.split(r", | and ", m[1])))


@rule(
    r"Known steel costs [\d.]+ h(?:, of which [\d.]+ h are at stake by the chance of .+ that the piece serves)?: now that (?:a temper fits|a sister's blade showed its temper), the next blade is one of those .+"
)
def temper_fits(_, steel, told):
    """Some temper of the piece was read."""
    mine = [t for t in steel.tempers if t.get("piece") == told["piece"]]
    return [] if any(PLACES.keys() & t.keys() for t in mine) else ["no temper was read"]
