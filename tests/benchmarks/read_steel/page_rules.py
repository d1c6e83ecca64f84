"""Which sentences may the page of a found steel hold, and what must notes and JSON show for each?

A rule is a pattern and a check that returns what contradicts the sentence. The words of advice and
of caution that the program gives are listed as far as they were met; others are told as unknown.
"""
# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

NUMBER = r"\d+(?:\.\d+)?"
RULES = []
USES = {"hedging tool", "chopper", "knife", "chisel"}


def rule(pattern):
    """A check for sentences of this pattern."""

    def keep(check):
        RULES.append((re.compile(pattern), check))
        return check

    return keep


def plain(*patterns):
    """Advice, cautions and definitions, which say nothing of what was done."""
    RULES.extend((re.compile(pattern), None) for pattern in patterns)


def contradictions(sentence, steel, told):
    """What stands against a sentence; None where no rule covers it."""
    for pattern, check in RULES:
        match = pattern.fullmatch(sentence)
        if match:
            return (check(match, steel, told) or []) if check else []
    return None


def per_cent(chance, text):
    """Whether a chance of the JSON is told so."""
    number = float(re.search(NUMBER, text)[0])
    if text.startswith("over"):
        return chance > number / 100
    if text.startswith("under"):
        return chance < number / 100
    return abs(100 * chance - number) <= 0.51


def asked(steel, told):
    """The piece that the verdict speaks of, as noted."""
    return next((p for p in steel.pieces if p["id"] == told["piece"]), {})


SHARE = rf"(?:over |under )?{NUMBER} %"


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


PLACE = r"piece (\S+?)(?:, coupon (\S+?), heat (\d+))?"


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


@rule(rf"({NUMBER}) of ({NUMBER}) cracked in the quench: .+")
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


@rule(r"It cracked: quench slower, .+")
def it_cracked(_, steel, told):
    """Of the piece."""
    mine = [h for h in steel.heats if h["piece"] == told["piece"] and h.get("cracked")]
    return [] if mine else ["no crack was noted"]


@rule(r"It hardens: find the temper for the use\.")
def hardens(_, steel, told):
    """A heat of the piece was read hard."""
    mine = [h for h in steel.heats if h["piece"] == told["piece"]]
    hard = [h for h in mine for key in h if key.startswith("hardness") and h[key] != '"<40"']
    return [] if hard else ["no heat was read hard"]


@rule(r"Before any fire or grinding: nobody has written down its (lead|coating)\.")
def not_written(m, steel, told):
    """It was not."""
    return ["it was"] if m[1] in asked(steel, told) else []


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


@rule(r"Of the tempers read, .+ came nearest to the (\S+) to (\S+) HRC wanted\.")
def nearest(m, steel, told):
    """Some temper of the piece was read, and so much is wanted."""
    mine = [t for t in steel.tempers if t["piece"] == told["piece"] and "hardness" in t]
    found = [] if mine else ["no temper was read"]
    same = [float(m[1]), float(m[2])] == told["wanted_hrc"]
    return found if same else [*found, "wanted otherwise"]


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


@rule(r"It makes (\d+): known steel for (?:it|them) costs [\d.]+ h, the testing .*")
def makes(m, steel, told):
    """As many blades as typed."""
    noted = asked(steel, told).get("makes_blades", 1)
    return [] if noted == int(m[1]) else [f"it makes {noted}"]


@rule(r"The trial blade (?:stood beside|gave out before) the known one.*")
def trial_blade(_, steel, told):
    """A trial of the piece was noted."""
    mine = [t for t in steel.trials if t["piece"] == told["piece"]]
    return [] if mine else ["no trial was noted"]


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
        if not any(t.get("edge") in edges for t in of or mine):
            found.append(f"'{part}' was not noted")
    return found


@rule(rf"Next: (.+) \(about ({NUMBER}) (h|min) of work\)\.")
@rule(r"Next: (.+)\.()()")
def next_test(m, _, told):
    """The JSON names one."""
    step = re.search(rf"steps of about ({NUMBER}) (°[CF])(?: \(({NUMBER}) °F\))?", m[1])
    wrong = step and "25" not in (step[1], step[3]) and step[2] == "°F"
    wrong = wrong or (step and step[3] and step[3] != "25")
    return [] if told["next"] and not wrong else [f"{told['next']}"]


@rule(
    r"Take (\S+) °C: that rests on (.+ HRC) read of (?:coupon )?(\S+), heat \d+(?:, and of .+)?\."
)
def temper_to_take(m, steel, told):
    """A temper of the piece's coupon that was read so."""
    mine = [t for t in steel.tempers if (t["piece"], t["coupon"]) == (told["piece"], m[3])]
    read = [str(t.get("hardness", "")).strip('"').replace("-", " to ") + " HRC" for t in mine]
    return [] if m[2] in read else [f"read were {read}"]


@rule(r"Wanted for ⇒ (.+)")
def wanted(m, steel, _):
    """The use as typed."""
    return [] if m[1] == steel.verdict.get("use", "not said") else [f"{steel.verdict}"]


@rule(rf"Hardness wanted, HRC ⇒ ({NUMBER}) to ({NUMBER})")
def wanted_hrc(m, steel, told):
    """As typed; else what the use wants, as the JSON has it."""
    typed = steel.verdict.get("hardness_hrc")
    due = [float(x) for x in typed.split("-")] if typed else told["wanted_hrc"]
    return [] if [float(m[1]), float(m[2])] == due else [f"it is {due}"]


@rule(
    r"(?:Pieces? ([^:]+): )?((?i:stop|go on testing|heat-treat it again|leave it|buy known steel|reuse it|keep it|make one trial blade|pack it|carburise|ask a laboratory|sort)\b.*)"
)
def headline(m, steel, told):
    """Of a piece that is there, and the JSON's title for it."""
    titles = [each["title"] for each in told["pieces"]] + [told["title"]]
    strange = set(re.split(", | and ", m[1])) - {p["id"] for p in steel.pieces} if m[1] else ()
    if strange:
        return [f"no piece {', '.join(strange)}"]
    due = re.sub(r"\W+", "", " ".join(titles)).lower()
    said = re.sub(r"\W+", "", re.sub(r" \(\d+ °F\)|\d+ °[CF]", "", m[2])).lower()
    due = re.sub(r"\d+°?c", "", due) if "°" in m[2] else due
    return [] if said in due else [f"verdict --json says {titles}"]


plain(
    r"Take that temper: a blade that stood tells more than a reading of a coupon\.",
    rf"It read (?:softer|harder) than the {NUMBER} to {NUMBER} HRC wanted, and stood: it speaks .+ alone\.",
    r"\S+ was hardened again since, and heat \d+ needs a trial of its own\.",
    r"(?:A hard (?:bar|edge) may still|The hardness is right; now its).+\.", r"Clamp (?:a rod|30 mm|1\.2 in).+",
    r"Bend both by steps.+", r"One that springs back is sound, .+", r"A chop counts from 30 strokes on .+", r"Where it cracked it was hot enough .+",
    r"Check the thermometer in boiling water .+", r"This counts .+ h for the known steel .+",
    r"If you go on all the same: .+\.", r"This holds for .+\.", r"Of .+, of the same lot, nobody has .+\.",
    r"You may stop once it reads softer than wanted\.", r"Each step stands in the oven for an hour besides\.",
    r"No chance is told: .+\.", r"It looks like .+\.", r"What it may serve for is not settled yet\.",
    r"It is what your tests make, by Bayes' theorem, of the first guess.*\.",
    r"What was seen of .+, of the same lot, counts too(?:; the heats are of .+ alone)?\.",
    r"Your heap is the scrap that you pick from\.",
    r"In a poor one fewer pieces than usual make a blade, in a good one more: .+ better\.",
    r"The advice stands with .+\.", r"Chances from all that was seen and .+",
    r"Sparks and hardness rank a steel; they do not name it, and nothing here does\.",
    r"No log of real salvage stands behind the chances yet\.",
    r"The tool reports observations; it certifies neither a steel nor a knife\.",
    r"With each of the \d+ chances and figures that it is reckoned from half as large again, then a third smaller, .+\.",
    r"Hard and soft from the same kind of quench; nobody read a value between, so none is given\.",
    r"(?:Zinc fume has killed|Old paint may hold lead): .+\.",
    r"(?:Neither grind nor heat it yet|Suspect|It may be a case|Oil before water|Trust the reading below).+",
    r"(?:What the shop can do about it was done|A soft skin has lost its carbon|No quench is slower than air).+",
    r"(?:Grind 0\.(?:3 mm|012 in)|Normalise, |Quench both once more|Either the faster|Try the magnet on|Where (?:it|they) ).+",
    r"What gives off fumes stays out of the fire\.",
    r"Hardened steel is magnetic: try the magnet again, cold, on bright metal\.",
    r"(?:It tells hardening steel|Too hard after a low temper is no fault).+\.",
    r"(?:It shows which|Oil may have been|Steel rich in alloy hardens|The last heat may|Its toughness was).+\.",
    r"What to do with the steel", r"edgetest [\d.]+, 20\d\d-\d\d-\d\d · an observation of these pieces, no certificate · data SHA-256 [0-9a-f]{16}…",
)  # fmt: skip
