"""Chances that the page tells: each is that of the JSON."""
# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel.sentence_rules import NUMBER, SHARE, asked, per_cent, rule


@rule(
    rf"The chance that it makes a good ([a-z ]+), (treated rightly|as it is), is ({SHARE})(?: \(({SHARE}) if your heap is poor, ({SHARE}) if it is good\))?\."
)
def chance(m, steel, told):
    """The JSON's chance for the use that was typed."""
    found = [] if m[1] == steel.verdict.get("use", "blade") else [f"wanted for {steel.verdict}"]
    if not per_cent(told["chance_fit"], m[3]):
        found.append(f"verdict --json has {told['chance_fit']}")
    if m[4] and not all(map(per_cent, told["fit_between"], (m[4], m[5]))):
        found.append(f"verdict --json has {told['fit_between']}")
    return found


@rule(
    rf"Of 100 pieces that show what this one showed, (about|fewer than|over) ({NUMBER}) would make a good ([a-z ]+), (?:treated rightly|as it is), if the trade's habits hold for your heap\."
)
def of_hundred(m, steel, told):
    """The same chance in whole pieces, and only where nothing contradicts itself."""
    found = [] if m[3] == steel.verdict.get("use", "blade") else [f"wanted for {steel.verdict}"]
    count = 100 * told["chance_fit"]
    near = {"about": abs(count - float(m[2])) <= 0.51, "fewer than": count < 1, "over": count > 99}
    found += [] if near[m[1]] else [f"verdict --json has {told['chance_fit']}"]
    return found + ["it does not fit together"] * bool(told["contradictions"])


@rule(
    r"What was seen does not fit together: until that is mended, rely on no chance for this steel\."
)
def unmended(_, __, told):
    """Something does not fit together."""
    return [] if told["contradictions"] else ["nothing contradicts itself"]


def ranked(words, rows, found):
    """Titles with their chances, as the JSON has them."""
    for part in words.split("; "):
        m = re.fullmatch(rf"(.+?) ({SHARE})", part)
        row = next((r for r in rows if m and r["title"] == m[1]), None)
        if row is None or not per_cent(row["chance"], m[2]):
            found.append(f"'{part}' is not in verdict --json")
    return found


@rule(
    rf"What moved this most is (.+): without it the chance of (.+) would be ({SHARE}), not ({SHARE})\."
)
def moved(m, _, told):
    """The likeliest explanation of the JSON, with its chance."""
    row = told["explanations"][0]
    right = row["title"].startswith(m[2]) and per_cent(row["chance"], m[4]) and m[3] != m[4]
    return [] if right else [f"verdict --json has {row}"]


@rule(rf"(Its kind|It may be): ((?:[^;.]+ {SHARE}(?:; )?)+)\.")
def may_be(m, _, told):
    """Families of use, or explanations."""
    return ranked(m[2], told["families" if m[1] == "Its kind" else "explanations"], [])


@rule(
    r"Thought of (any piece|a piece such as this \(([a-z ]+)\)) before any look: (.+) \(common practice, no source\)\."
)
def before(m, steel, told):
    """The prior of the origin that was typed."""
    origin = asked(steel, told).get("origin", "unknown")
    found = [] if (m[2] or "unknown") == origin else [f"its origin is {origin}"]
    return ranked(m[3], told["before"]["explanations"], found)


DONE = {
    "right": "right",
    "too cold": "too_cold",
    "too hot, coarse": "too_hot",
    "too short": "too_short",
}


@rule(r"Coupon (\S+), heat (\d+), chance that the heat was: (.+)\.")
def heated(m, steel, told):
    """A heat of the piece that was written down; its chances are the JSON's."""
    mine = [h for h in steel.heats if (h["piece"], h["coupon"]) == (told["piece"], m[1])]
    if len(mine) < int(m[2]):
        return [f"no heat {m[2]} of a coupon {m[1]} was noted"]
    entry = next(h for h in told["heats"] if (h["coupon"], h["heat"]) == (m[1], int(m[2])))
    found = []
    for part in m[3].split("; "):
        name, share = re.fullmatch(rf"([a-z, ]+?) ({SHARE})", part).groups()
        if not per_cent(entry["chances"][DONE.get(name, name)], share):
            found.append(f"verdict --json has {entry['chances']}")
    return found


@rule(
    rf"The chance that its heat was (too cold) is ({SHARE}), and water cracks what oil spares: quench it once more in oil, hotter, before you try water\."
)
@rule(
    rf"The chance that its heat was (too cold|too short) is ({SHARE}), and a temper only makes it softer: quench it once more, (?:hotter|with a longer soak), before you look for its temper\."
)
def missed(m, _, told):
    """The JSON's chance of a heat of the piece."""
    shares = [one["chances"][DONE[m[1]]] for one in told["heats"]]
    return [] if any(per_cent(one, m[2]) for one in shares) else [f"verdict --json has {shares}"]


@rule(
    rf"The chance that it is not all one steel \(({SHARE})\) is one of the whole lot; it stops no step while it is no more than 50 %\."
)
def mixed(m, _, told):
    """The JSON's chance of several steels, which is no more than half."""
    rows = (r for r in told["explanations"] if r["title"].startswith("not all one steel"))
    share = next(rows)["chance"]
    return [] if per_cent(share, m[1]) and share <= 0.5 else [f"verdict --json has {share}"]


@rule(
    r"Of coupon (\S+?)(?: of (\S+?))?(?:, heat \d+)?: \d+ \S+ is far (hotter|cooler) than ([a-z ]+), which is some .+, and an eye errs by a step of about .+\."
)
def colour_apart(m, steel, _):
    """A heat of that coupon was told by degrees and by that colour."""
    own = [h for h in steel.heats if h["coupon"] == m[1] and m[2] in (None, h["piece"])]
    told = [h for h in own if "heat_c" in h and h.get("colour") == m[4]]
    return [] if told else [f"noted are {own}"]


@rule(r"The chances go by the (degrees|magnet)\.")
def goes_by(m, steel, _):
    """By the magnet where it held in some heat that tells a colour and degrees."""
    both = [h for h in steel.heats if {"heat_c", "colour"} <= h.keys()]
    held = [h.get("magnet") == "holds" for h in both]
    return [] if (m[1] == "magnet") in held else [f"noted are {both}"]
