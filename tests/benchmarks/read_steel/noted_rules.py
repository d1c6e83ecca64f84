"""What the page says of pieces, heats, tempers and trials: each was noted so."""

# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel.sentence_rules import NUMBER, asked, rule

PLACE = r"piece (\S+?)(?:, coupon (\S+?), heat (\d+)(?:, beside [^;.]+)?)?"


@rule(rf"Seen in: ((?:{PLACE}(?:; | and )?)+)\.")
def seen_in(m, steel, _):
    """Pieces, coupons and heats that were noted."""
    found = []
    for piece, coupon, _ in re.findall(r"piece ([^\s,;.]+)(?:, coupon (\S+?), heat (\d+))?", m[1]):
        if coupon and not any((h["piece"], h["coupon"]) == (piece, coupon) for h in steel.heats):
            found.append(f"no coupon {coupon} of {piece}")
        if piece not in [p["id"] for p in steel.pieces]:
            found.append(f"no piece {piece}")
    return found


@rule(rf"({NUMBER}) of ({NUMBER}) cracked in the quench(?:: |, and out of the same ).+")
def cracked(m, steel, _):
    """Counted so in some heat."""
    noted = [(h.get("cracked"), h.get("count")) for h in steel.heats]
    return [] if (int(m[1]), int(m[2])) in noted else [f"noted are {noted}"]


@rule(r"A faster quench \(([a-z ]+)\) left the steel softer than a slower one \(([a-z ]+)\), .+")
def faster_softer(m, steel, _):
    """Both media were quenched into."""
    media = {h["medium"] for h in steel.heats}
    return [] if {m[1], m[2]} <= media else [f"quenched into {media}"]


FEW, MANY = {"fewer than low", "like low"}, {"like high", "more than high"}


@rule(r"(Few|Many) sparks(?:, yet| and no pull).+")
@rule(r"Not magnetic, yet (many) sparks: .+")
def sparks(m, steel, _):
    """Sparks so noted of some piece; not magnetic, where that is said."""
    due = FEW if m[1] == "Few" else MANY
    found = [p for p in steel.pieces if p.get("sparks") in due]
    if "agnetic" in m[0] or "no pull" in m[0]:
        found = [p for p in found if p.get("magnet") in ("none", "weak")]
    return (
        [] if found else [f"noted are {[(p.get('sparks'), p.get('magnet')) for p in steel.pieces]}"]
    )


@rule(r"The skin is (?:harder|softer) than the steel below it: the two are not one hardness\.")
def skin(_, steel, __):
    """Both places were read of one row."""
    rows = [*steel.pieces, *steel.heats]
    both = any({"hardness_skin", "hardness_below"} <= row.keys() for row in rows)
    return [] if both else ["skin and inside were never both read"]


@rule(r"Hard, yet coarse in the break: .+|A coarse break comes from too hot a heat, .+")
def coarse(_, steel, __):
    """A coarse grain, or a break that is coarse."""
    told = [h.get("grain") == "coarse" or h.get("fracture") == "grey crumbly" for h in steel.heats]
    return [] if any(told) else ["no coarse break was noted"]


@rule(r"Harder after the temper than as quenched: .+")
def harder_tempered(_, steel, __):
    """A temper with a reading."""
    return [] if any("hardness" in t for t in steel.tempers) else ["no temper was read"]


@rule(r"It cracked, and a crack stays: quench a fresh one slower, .+")
def it_cracked(_, steel, told):
    """Of the piece."""
    mine = [h for h in steel.heats if h["piece"] == told["piece"] and h.get("cracked")]
    return [] if mine else ["no crack was noted"]


@rule(
    r"Where an old crack of the piece ran on, .+|A piece that you give up is .+|It cracked where its sisters came whole .+"
)
def crack_of_its_own(_, steel, __):
    """Of some piece."""
    return [] if any(h.get("cracked") for h in steel.heats) else ["no crack was noted"]


@rule(
    r"(?:.+ read .+ from (\d+) °C, and .+ from (\d+) °C: the cooler heat is to blame .+|"
    r"That holds no heat's degrees against another's: .+ from (\d+) °C, so .+|"
    r"Quench it as hot as that one, (\d+) °C, .+)"
)
def too_cool(m, steel, _):
    """Each heat at such degrees, with a reading below the skin."""
    read = [str(h["heat_c"]) for h in steel.heats if "hardness_below" in h and "heat_c" in h]
    told = [(float(re.search(NUMBER, typed)[0]), "F" in typed) for typed in read]
    noted = {f"{(at - 32) / 1.8 if in_f else at:.0f}" for at, in_f in told}
    return [f"{at} °C was not noted" for at in m.groups() if at and at not in noted]


@rule(r"It hardens: find the temper for the use\.")
def hardens(_, steel, told):
    """A heat of the piece was read hard."""
    mine = [h for h in steel.heats if h["piece"] == told["piece"]]
    hard = [h for h in mine for key in h if key.startswith("hardness") and h[key] != '"<40"']
    return [] if hard else ["no heat was read hard"]


@rule(
    r"(?:But c|C)oupon (\S+), heat (\d+), is hardened and has no temper yet: temper it at \d+ °C, read it, then try its toughness\."
)
def waits(m, steel, told):
    """A coupon of the piece that was quenched, and not tempered."""
    mine = [h for h in steel.heats if (h["piece"], h.get("coupon")) == (told["piece"], m[1])]
    later = [t for t in steel.tempers if (t["piece"], t.get("coupon")) == (told["piece"], m[1])]
    later = [t for t in later if t.get("heat", 1) == int(m[2])]
    return [] if len(mine) >= int(m[2]) and not later else [f"{mine} and {later} were noted"]


@rule(
    r"It is past: coupon (\S+), heat (\d+), of (\S+) came out as hard as that of (\S+), as far as the readings tell\."
)
def as_hard(m, steel, _):
    """That heat was noted, and one of the other piece of its lot."""
    mine = [h for h in steel.heats if (h["piece"], h.get("coupon")) == (m[3], m[1])]
    other = [h for h in steel.heats if h["piece"] == m[4]]
    return [] if len(mine) >= int(m[2]) and other else [f"{mine} and {other} were noted"]


@rule(
    r"Coupon (\S+) came out coarse in heat (\d+): take a fresh one for it, normalised and cycled three times first\."
)
def coarse_since(m, steel, told):
    """A heat of that coupon was noted coarse."""
    mine = [h for h in steel.heats if (h["piece"], h.get("coupon")) == (told["piece"], m[1])]
    return [] if any(h.get("grain") == "coarse" for h in mine) else ["no coarse break was noted"]


@rule(
    r"Before any (?:further )?fire or grinding: nobody has written down its (lead|coating)( and its lead)?\."
)
def not_written(m, steel, told):
    """It was not."""
    said = [m[1], *(["lead"] if m[2] else [])]
    return [f"{key} was" for key in said if key in asked(steel, told)]


@rule(r"Coating: ([a-z]+)\.")
def coating(m, steel, told):
    """As typed of the piece."""
    noted = asked(steel, told).get("coating")
    return [] if noted == m[1] else [f"its coating is {noted}"]


@rule(r"Lead gives fume at forging heat and dust at the wheel: have it analysed first\.")
def lead(_, steel, told):
    """Suspected, or there."""
    return [] if asked(steel, told).get("lead") == "suspected" else ["no lead was suspected"]


@rule(r"The magnet (held|let go), and the thermometer said (\d+) °[CF]: .+")
def magnet_and_thermometer(m, steel, told):
    """A heat with that magnet, and with degrees."""
    due = "holds" if m[1] == "held" else "lets go"
    mine = [h for h in steel.heats if h.get("magnet") == due and "heat_c" in h]
    return [] if mine else [f"no heat with degrees whose magnet {due}"]


@rule(r"Read harder after (.+) than (as quenched|after .+), which a temper does not do: .+")
@rule(r"A coupon read harder after a temper: read it again before you go by this\.")
@rule(r"The chance leaves the later one out\.")
@rule(r"Read the coupon again on a bright spot below the skin, with one and the same .+")
def read_up(m, steel, told):
    """The verdict's JSON has the doubt, and a temper of some heat was read."""
    found = [] if any("hardness" in key for t in steel.tempers for key in t) else ["no temper read"]
    codes = [one["code"] for one in told["remarks"]]
    return found if "temper_read_up" in codes else [*found, f"the remarks are {codes}"]


@rule(r"Not magnetic when cold: of the kind that a quench does not harden\.")
def not_magnetic(_, steel, told):
    """A magnet was tried."""
    noted = asked(steel, told).get("magnet")
    return [] if noted in ("none", "weak") else [f"the magnet was {noted}"]


@rule(r"The magnet still held: the coupon never was at hardening heat\.")
def held(_, steel, told):
    """In a heat of the piece."""
    mine = [h.get("magnet") for h in steel.heats if h["piece"] == told["piece"]]
    return [] if "holds" in mine else [f"noted are {mine}"]


@rule(
    r"The chance of (.+), of which no blade was tried, is no lower than that of (.+): a blade of .+"
)
def no_lower(m, steel, told):
    """So says the JSON, and no edge of the pieces named first was tried."""
    chances = {one["piece"]: one["chance_fit"] or 0 for one in told["pieces"]}
    return [
        name for name in re.split(r", | and ", m[1])
        if chances[name] < chances[m[2]]
        or any(t["piece"] == name and t.get("test") in ("rope", "chop") for t in steel.trials)
    ]  # fmt: skip


@rule(
    r"Of their sparks, those of (.+) alone are unlike: where its coupon still differs once that is made again, alike or hotter, give it (?:a lot of its own|the lot of .+)\."
)
def odd_sparks(m, steel, _):
    """No other piece of its lot was noted to spark as it does."""
    own = next(p for p in steel.pieces if p["id"] == m[1])
    lot = [p.get("sparks") for p in steel.pieces if p.get("lot") == own.get("lot")]
    return [] if lot.count(own.get("sparks")) == 1 else [f"{m[1]} sparks as others do"]


@rule(r"The pieces of lot (.+) disagree: they (?:are likely|may) not (?:be )?one steel, .+")
def disagree(m, steel, _):
    """Two pieces at least of that lot were quenched."""
    lot = {p["id"] for p in steel.pieces if p.get("lot") == m[1]}
    quenched = lot & {h["piece"] for h in steel.heats}
    return [] if len(quenched) > 1 else [f"quenched are {sorted(quenched)}"]


@rule(
    r"(\S+) (?:sparks like|throws fewer sparks than) the known low steel, .+, and all are lot .+: do not mix them\."
)
def sparks_apart(m, steel, _):
    """Few sparks noted of the piece."""
    noted = [p.get("sparks") for p in steel.pieces if p["id"] == m[1]]
    return [] if FEW & set(noted) else [f"noted are {noted}"]


@rule(
    r"(.+?) throws? (a short red stream|almost no stream|.+ or .+), (.+) a bright forked one, and all are lot .+: do not mix them\."
)
def streams_apart(m, steel, _):
    """Such a stream noted of each."""
    noted = {p["id"]: p.get("stream") for p in steel.pieces}
    short, forked = (re.split(", | and ", m[k]) for k in (1, 3))
    wrong = [name for name in short if noted[name] not in ("short red", "almost none")]
    return wrong + [name for name in forked if noted[name] != "bright forked"]


@rule(
    r"(\S+) \([^()]+\) came out (?:softer|harder) than (\S+) of lot .+ \([^()]+\), the same kind of part treated alike\."
)
def parted(m, steel, _):
    """Both were quenched."""
    return sorted({m[1], m[2]} - {h["piece"] for h in steel.heats})


@rule(r'The sparks of (.+) are noted as "(.+)", and no known (high|low)-carbon steel is named .+')
def spark_steel_unnamed(m, steel, _):
    """Noted so, beside one named steel that is not the one asked for."""
    names = re.split(", | and ", m[1])
    noted = {p.get("sparks") for p in steel.pieces if p["id"] in names}
    named = [side for side in ("low", "high") if steel.evidence.get(f"known_{side}")]
    return [] if noted == {m[2]} and named and m[3] not in named else [f"{noted}, beside {named}"]


@rule(
    r"(.+) sparks? like the known low steel or less, (.+) more, and all are lot (.+): one grade .+"
)
def sparks_one_apart(m, steel, _):
    """Noted so of both."""
    noted = {p["id"]: p.get("sparks") for p in steel.pieces}
    few, more = (re.split(", | and ", m[k]) for k in (1, 2))
    wrong = [name for name in few if noted[name] not in FEW]
    return wrong + [name for name in more if noted[name] not in ("between", "more than low")]
