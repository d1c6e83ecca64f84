"""Which sentences may the page of a found steel hold?

The words of advice and of caution that the program gives are listed as far as they were met; others
are told as unknown.
"""
# ruff: noqa: E501  (a sentence of the page stands in one piece)

import re

from tests.benchmarks.read_steel import (  # noqa: F401 - they keep their rules
    chance_rules,
    hours_rules,
    noted_rules,
    tried_rules,
)
from tests.benchmarks.read_steel.sentence_rules import NUMBER, plain, rule


@rule(rf"Next: (.+) \(about ({NUMBER}) (h|min) of work\)\.")
@rule(r"Next: (.+)\.()()")
def next_test(m, _, told):
    """The JSON names one."""
    step = re.search(rf"steps of about ({NUMBER}) (°[CF])(?: \(({NUMBER}) °F\))?", m[1])
    wrong = step and "25" not in (step[1], step[3]) and step[2] == "°F"
    wrong = wrong or (step and step[3] and step[3] != "25")
    return [] if told["next"] and not wrong else [f"{told['next']}"]


@rule(
    r"(\S+) of (\S+), of the same lot and as hard from its quench, stood at \d+ \S+: temper there first\."
)
def sisters_temper(m, steel, _):
    """That blade of that piece had a temper, and a trial."""
    of = [(row["piece"], row.get("coupon")) for row in (*steel.tempers, *steel.trials)]
    return [] if of.count((m[2], m[1])) > 1 else [f"noted are {of}"]


@rule(r"(\S+) gave out in one run and stood in a later one: one blade does not tell which holds\.")
def one_blade(m, steel, told):
    """Of that blade some trial names an edge that gave out, and another does not."""
    mine = [t for t in steel.trials if (t["piece"], t.get("coupon")) == (told["piece"], m[1])]
    hurt = [t.get("edge") not in (None, "sound") for t in mine]
    return [] if True in hurt and False in hurt else [f"tried are {mine}"]


@rule(
    r"The edge of (\S+?)(?:, heat \d+)? was badly sharpened \((.+)\), as you wrote, so that trial counts neither for nor against the steel\."
)
def badly_sharpened(m, steel, _):
    """A trial of that blade says so."""
    poor = [(t.get("coupon"), t["poor_edge"]) for t in steel.trials if "poor_edge" in t]
    return [] if (m[1], m[2]) in poor else [f"noted are {poor}"]


@rule(r"Take (\S+) °C: that rests on (.+ HRC) read of (?:coupon )?(\S+), heat \d+(?:, and .+)?\.")
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


@rule(
    r"By (eye, in the same dim light|magnet, quench it nearer) .+ \(common practice, no source\)\."
)
def by_eye(m, _, told):
    """The step is a hotter quench, or a cooler one."""
    way = "hotter" if m[1].startswith("eye") else "cooler"
    return [] if told["way"] == way else [f"the step is {told['way']}"]


plain(
    r"Make one more, treated as it was when it stood\.",
    r"Where you saw before that run that its edge was badly sharpened, write what as poor_edge .+ neither way\.",
    r"A poor edge gives out as early as a poor steel\.",
    r"Where you find a wire edge or another angle on it, write that as poor_edge .+ neither way\.",
    r"Sharpen it as the known blade is, and run it once more beside that\.",
    r"Where that reads in the range wanted, no other step is needed\.",
    r"Mend the one that is a slip; if both are as you saw, check the thermometer\.",
    r'Name it, if there was one; if not, write the sparks as ".+"\.',
    r"From there on a whole edge tells of the steel \(our choice\), and what it made already counts\.",
    r"Spark them again side by side before you count on one steel\.",
    r"Name it under beside; if there was none, how long an edge lives is not known from it\.",
    r"The blade failed; a coupon tells why\.", r"Only the skin hardens, and grinding takes it away\.",
    r"By eye, in the same dim light, a step of about .+ is about one shade brighter, .+",
    r"Where the pieces differ, each tells of itself alone\.",
    r"Its lot came out apart, and no coupon more tells why: .+ (?:a lot of its own|which came out the same way)\.",
    r"Each lot is judged by itself then\.", r"Treated alike it came out softer than its sister: .+\.",
    r"Too cold is meant for a steel of so little carbon: that asks for more heat than .+\.",
    r"First see whether a number was mistyped: --replace puts it right\.",
    r"See whether a reading was typed of the wrong coupon: --remove takes its row out, .+\.",
    r"None of the blades that you wrote under makes_blades is left: .+\.",
    r"Where it gives another, write how many in all as makes_blades\.",
    r"Take that temper: a blade that stood tells more than a reading of a coupon\.",
    rf"It read (?:softer|harder) than the {NUMBER} to {NUMBER} HRC wanted, and stood: it speaks .+ alone\.",
    r"\S+ was hardened again since, and heat \d+ needs a trial of its own\.",
    r"(?:A hard (?:bar|edge) may still|The hardness is right; now its).+\.", r"Clamp (?:a rod|30 mm|1\.2 in).+",
    r"Bend both by steps.+", r"One that springs back is sound, .+", r"A chop counts from 30 strokes on .+", r"Where it cracked it was hot enough .+",
    r"Temper it for an hour and read it again; .+",
    r"Check the thermometer in boiling water .+", r"No number of coupons that came out alike spares you that blade\.",
    r"They tell how hard it is, not how long an edge lives\.",
    r"If you go on all the same: .+\.", r"This holds for .+\.", r"Of .+, of the same lot, nobody has .+\.",
    r"You may stop at the first that reads in the range wanted: that coupon goes on\.",
    r"A hotter one that still does is tougher, but once one reads softer than wanted the coupon is spent, and .+",
    r"Each step stands in the oven for an hour besides\.",
    r"Where your oven swings further than a step, go in steps of .+\.",
    r"Where none checks the oven, note it with edgetest enter, .+\.", r"Stay with that oven, .+\.",
    r"Another steel, a soft skin or an alloy that smothers .+\.",
    r"Spark both again on bright metal, and quench a coupon of .+\.", r"If they were bought together, .+\.",
    r"Nobody has read a coupon of .+ of that lot yet\.", r"A sister is used once a blade of its own stood, or two where its chance is below \d+ %: .+\.",
    r"One blade stood, and two must: .+ known steel cost\.", r"Of .+ one(?: each)? stood, and one more(?: each)? is asked for\.",
    r"Make (?:the one that is left of this piece, and try it too|one more before the (?:rest|\d+ that (?:is|are) left after it))\.",
    r"It broke fine, so the two fit together: .+\.", r"No chance is told: .+\.", r"It looks like .+ \(.+ %\)\.",
    r"But .+ of .+, quenched and tempered so, broke: take that temper for no blade(?:, but one hotter by .+)?\.",
    r"A later blade of .+ stood at \d+ °C: take it\.", r".+, of the same lot, was quenched and tempered as the blade that stood, and broke: .+\.",
    r"It may be an? .+ %\), or .+ %\)\.", r"Which edges it serves best is not settled yet\.",
    r"It is what your tests make, by Bayes' theorem, of the first guess.*\.",
    r"What was seen of .+, of the same lot, counts too(?:; the heats told here are those of .+)?\.",
    r"Your heap is the scrap that you pick from\.", r"Were your heap a poor or a good one, .+ less than 10 points apart\.",
    r"Of .+ no blade stood yet\.",
    r".+ chopped, and this study is for a (?:knife|chisel): was that work of such a .+\?",
    r"Write which as the use of each such trial; of another use it counts neither way, .+\.",
    r"The (?:brass rod|bend) was tried on a coupon that had tempers .+ write that as its temper_c\.",
    r"The temper to take is .+, and a trial after that one alone tells of it\.",
    r"In a poor one fewer pieces than usual make a blade, in a good one more: .+ better\.",
    r"The advice stands with .+\.", r"Chances from all that was seen and .+",
    r"Sparks and hardness rank a steel; they do not name it, and nothing here does\.",
    r"No log of real salvage stands behind the chances yet\.",
    r"The tool reports observations; it certifies neither a steel nor a knife\.",
    r"With each of the \d+ chances, figures and hours that it is reckoned from half as large again, then a third smaller, .+\.",
    r"Hard and soft from the same kind of quench; nobody read a value between, so none is given\.",
    r"(?:Zinc fume has killed|Old paint may hold lead|It holds lead): .+\.",
    r"(?:Neither grind nor heat it yet|Suspect|It may be a case|Oil before water|Trust the reading below).+",
    r"(?:What the shop can do about it was done|A soft skin has lost its carbon|No quench is slower than air).+",
    r"(?:Grind 0\.(?:3 mm|012 in)|Normalise, |Quench both once more|Either the faster|Try the magnet on|Where (?:it|they) ).+",
    r"What gives off fumes stays out of the fire\.",
    r"Hardened steel is magnetic: try the magnet again, cold, on bright metal\.",
    r"(?:It tells hardening steel|Too hard after a low temper is no fault).+\.",
    r"(?:It shows which|Oil may have been|Steel rich in alloy hardens|The last heat may|Its toughness was).+\.",
    r"What to do with the steel", r"edgetest [\d.]+, 20\d\d-\d\d-\d\d · an observation of these pieces, no certificate · data SHA-256 [0-9a-f]{16}…",
)  # fmt: skip
