"""What the page says of tempers and trial blades: each was noted so."""

# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel.sentence_rules import NUMBER, rule


@rule(r"Of the tempers read, .+ came nearest to the middle of the (\S+) to (\S+) HRC wanted\.")
def nearest(m, steel, told):
    """Some temper of the piece was read, and so much is wanted."""
    mine = [t for t in steel.tempers if t["piece"] == told["piece"] and "hardness" in t]
    found = [] if mine else ["no temper was read"]
    same = [float(m[1]), float(m[2])] == told["wanted_hrc"]
    return found if same else [*found, "wanted otherwise"]


@rule(r"Left aside: .+ and cooler of .+, whose edge chipped or broke there and stood after .+\.")
def left_aside(m, steel, told):
    """The piece chipped or broke over a rod or in a bend, and one was sound."""
    edges = {t.get("edge") for t in steel.trials if t["piece"] == told["piece"]}
    return [] if edges & {"chipped", "broke"} and "sound" in edges else [f"edges are {edges}"]


@rule(r"No thermometer checked your oven: its degrees may be off, .+ as written\.")
def oven_unchecked(m, steel, _):
    """It was noted so."""
    return [] if steel.evidence.get("oven_checked") is False else ["nobody noted the oven"]


@rule(rf"\S+, heat \d+ was tempered for (?:\d+ × )?({NUMBER}) \S+, too short to warm it through.+")
def short_temper(m, steel, _):
    """So many minutes, or other units, as they were typed."""
    noted = [re.search(NUMBER, str(t["time_min"]))[0] for t in steel.tempers if "time_min" in t]
    return [] if m[1] in noted else [f"noted are {noted}"]


@rule(r"The trial blade (?:stood beside|gave out before) the known one.*")
def trial_blade(_, steel, told):
    """A trial of the piece was noted."""
    mine = [t for t in steel.trials if t["piece"] == told["piece"]]
    return [] if mine else ["no trial was noted"]


def _c(number, unit):
    """Degrees in °C of a number as told."""
    return (float(number) - 32) / 1.8 if unit == "F" else float(number)


def _tempered(steel, piece=None):
    """(coupon, °C) of each temper that was typed, in order; of one piece where it is named."""
    return [
        (t.get("coupon"), _c(re.search(NUMBER, str(t["temperature_c"]))[0],
                             "F" if "F" in str(t["temperature_c"]) else "C"))
        for t in steel.tempers if "temperature_c" in t and piece in (None, t["piece"])
    ]  # fmt: skip


@rule(
    rf"(?:\S+, )?(?:coupon )?(\S+), heat \d+ was tempered at ({NUMBER}) °([CF]) after ({NUMBER}) °([CF])\."
)
def cooler_after(m, steel, _):
    """The cooler was typed behind the hotter, of that coupon."""
    mine = [at for coupon, at in _tempered(steel) if coupon == m[1]]
    cool, hot = _c(m[2], m[3]), _c(m[4], m[5])
    near = [k for k, at in enumerate(mine) if abs(at - cool) < 0.6]
    fine = any(abs(at - hot) < 0.6 for k in near for at in mine[:k]) and cool < hot
    return [] if fine else [f"typed are {mine}"]


@rule(
    rf"A cooler temper makes nothing harder, so what was read after it tells of ({NUMBER}) °([CF])\."
)
def tells_of_hotter(m, steel, _):
    """It was typed, and a cooler one behind it."""
    hot, mine = _c(m[1], m[2]), _tempered(steel)
    fine = any(
        abs(at - hot) < 0.6 and any(c == coupon and later < at for c, later in mine[k + 1 :])
        for k, (coupon, at) in enumerate(mine)
    )
    return [] if fine else [f"typed are {mine}"]


@rule(
    r"To have it harder, harden it again first\.|If the cooler temper was made first, put its row first\."
)
def in_order(_, steel, __):
    """Some temper was typed behind a hotter one of its coupon."""
    mine = _tempered(steel)
    later = ((c, at, rest) for k, (c, at) in enumerate(mine) for rest in mine[k + 1 :])
    return [] if any(r[0] == c and r[1] < at for c, at, r in later) else [f"typed are {mine}"]


@rule(r"Too hard after a low temper is not the steel's fault: temper hotter\.")
def too_hard(_, steel, told):
    """A temper of the piece was read, and the step is a hotter one."""
    mine = [t for t in steel.tempers if t["piece"] == told["piece"]]
    read = [t for t in mine if any(key.startswith("hardness") for key in t)]
    return [] if read and told["way"] == "temper_hotter" else [f"{read}, {told['way']}"]


@rule(r"Coupon (\S+), heat \d+: tempered, and nobody has entered it as quenched yet, .+")
def unread(m, steel, told):
    """A temper of that coupon was typed, and no heat of it was read."""
    here = (told["piece"], m[1])
    tempered = any((t["piece"], t.get("coupon")) == here for t in steel.tempers)
    heats = [h for h in steel.heats if (h["piece"], h.get("coupon")) == here]
    bare = any(not any(key.startswith("hardness") for key in h) for h in heats) or not heats
    return [] if tempered and bare else [f"its heats are {heats}"]


@rule(r"What was seen of it does not fit together (?:\(.+\)|either)\.")
def sister_unmended(_, steel, told):
    """Of another piece two things at least were typed that may disagree."""
    others = [p for p in steel.pieces if p["id"] != told["piece"]]
    seen = {p["id"]: sum(key in p for key in ("sparks", "magnet")) for p in others}
    for row in (*steel.heats, *steel.tempers, *steel.trials):
        if row["piece"] in seen:
            seen[row["piece"]] += 1
    return [] if any(count > 1 for count in seen.values()) else [f"of the others: {seen}"]


@rule(r"Gave out in a trial: (.+)\.")
def gave_out(m, steel, told):
    """Each part is an edge that was noted so, of that coupon or blade."""
    mine = [t for t in steel.trials if t["piece"] == told["piece"]]
    found = []
    for part in m[1].split("; "):
        edges = {
            word for word in ("chipped", "rolled", "took a set", "broke") if f" {word}" in part
        }
        who = part.split(",")[0]
        of = [t for t in mine if who in (t.get("coupon"), t.get("blade"), "a coupon")]
        short = "lived shorter than the known blade" in part and any(
            t.get("result") == "worse" or t.get("life_ratio") for t in of
        )
        if not short and not any(t.get("edge") in edges for t in of or mine):
            found.append(f"'{part}' was not noted")
    return found


@rule(r"(\S+) made (\d+) of the 30 strokes from which a whole edge counts: go on with the same .+")
def strokes_so_far(m, steel, told):
    """Noted so of that blade, and fewer than 30."""
    mine = [t for t in steel.trials if t["piece"] == told["piece"] and t.get("strokes")]
    noted = {(t.get("blade") or t.get("coupon"), str(t["strokes"])) for t in mine}
    return [] if m.groups() in noted and int(m[2]) < 30 else [f"noted are {noted}"]


@rule(
    r"Use neither (.+) of (.+), which broke, nor (.+), which (?:was|were) quenched and tempered just so: what broke .+"
)
@rule(r"They are not counted as made: harden and temper them anew \(common practice, no source\)\.")
def held_back(m, steel, _):
    """That blade broke in a trial, and each of its sisters has a heat of that piece."""
    broke = {t.get("coupon") for t in steel.trials if t.get("edge") == "broke"}
    if not m.groups():
        return [] if broke else ["nothing broke"]
    heats = {h.get("coupon") for h in steel.heats if h["piece"] == m[2]}
    heats |= {f"{h.get('coupon')} of {h['piece']}" for h in steel.heats}
    sisters = set(re.split(r", | and ", m[3]))
    return [] if m[1] in broke and sisters <= heats else [f"broke: {broke}; hardened: {heats}"]


@rule(r"Beside which blade (.+) of (.+) was tried is not said, and its chance counts that .+")
def beside_nothing(m, steel, _):
    """Some trial of the piece was compared, and no blade was named beside it."""
    mine = [t for t in steel.trials if t["piece"] == m[2] and not t.get("beside")]
    compared = [t for t in mine if t.get("result") or t.get("life_ratio")]
    who = ("what was tried", *(t.get("blade") or t.get("coupon") for t in compared))
    return [] if compared and m[1] in who else [f"tried are {mine}"]
