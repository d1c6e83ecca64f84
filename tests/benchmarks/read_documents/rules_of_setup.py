"""Is what a document says of protocol, steel, edges and heat treatments what was typed?"""
# ruff: noqa: E501  (a sentence of the document stands in one piece)

import re

from tests.benchmarks.read_documents.own_arithmetic import typed_back
from tests.benchmarks.read_documents.sentence_rules import number, plain, rule

SETUP = "What was tested"
FACTS = {
    "Steel": "steel",
    "Edge finish": "edge_finish",
    "Behind the edge": "thickness_behind_edge_mm",
    "Wanted, HRC": "hardness_target_hrc",
    "Measured, HRC": "hardness_hrc",
    "Batch": "batch",
}


def fact_untrue(label, text, blade, case):
    """What contradicts a cell about a blade, or nothing."""
    wish = case.study.document.get("units")
    if label == "Edge angle":
        if blade.angle is None:
            return None if text == "not noted" else f"{blade.id} has no angle noted"
        sides = {f"{blade.angle:g}° per side ({2 * blade.angle:g}° included)",
                 f"{2 * blade.angle:g}° included ({blade.angle:g}° per side)"}  # fmt: skip
        return None if text in sides else f"{blade.id} was ground to {blade.angle:g}° per side"
    if label not in FACTS:
        return f"no rule for the column {label}"
    typed = blade.facts.get(FACTS[label])
    if typed is None:
        return None if text in ("not noted", "") else f"{blade.id}: nothing was typed"
    if label == "Wanted, HRC":
        typed = typed.replace("-", " to ")
    if label == "Measured, HRC":
        typed = ", ".join(f"{h:g}" for h in typed)
    return None if typed_back(text, typed, wish) else f"{blade.id}: typed was {typed}"


def blade_row(row, case):
    """A row of the table of blades."""
    name = row["Blade"].removesuffix(" · control")
    blade = next((b for b in case.study.blades if b.id == name), None)
    if blade is None:
        return [f"no blade is called {name}"]
    found = []
    if row["Blade"].endswith("· control") != (name == case.study.control):
        found.append("the control is another blade")
    for label, text in row.items():
        if label == "Heat treatment":
            due = case.bear.names.get(blade.treatment, "not noted")
            if text != due:
                found.append(f"{name} has the heat treatment {due}")
        elif label != "Blade":
            found.append(fact_untrue(label, text, blade, case))
    return [f for f in found if f]


def told_blades(case):
    """Blades of which the document must speak: all that were cut, and a control that was named."""
    ran = {r["blade"] for r in case.bear.in_use if r.get(case.study.asked.main)}
    return [b for b in case.study.blades if b.id in ran or b.id == case.study.control]


@rule(r"Protocol ⇒ (.+)", SETUP)
def protocol(m, case):
    """The title of the protocol."""
    return None if m[1] == case.protocol["title"] else f"its title is {case.protocol['title']}"


@rule(r"It asks for ⇒ (.+)", SETUP)
def asks(m, case):
    """Every word is the protocol's; lengths may stand in the units wished for."""
    asked = case.study.asked
    text = m[1]
    found = []
    stages = re.search(r"read (?:at .+ from the heel, )?at ([\d, ]+) cuts", text)
    many = re.search(
        r"read (?:at .+ from the heel, )?at (\d+) stages from (\d+) to (\d+) cuts", text
    )
    places = re.search(r"read at (.+) from the heel", text)
    told = len(re.split(r", | and ", places[1])) if places else 0
    if places and told != len(case.protocol["stations_mm"]):
        found.append(f"its places are {case.protocol['stations_mm']}")
    if many:
        due = (len(asked.stages), asked.stages[0], asked.stages[-1])
        if tuple(map(int, many.groups())) != due:
            found.append(f"its stages are {due}")
    elif not stages or [int(s) for s in stages[1].split(", ")] != list(asked.stages):
        found.append(f"its stages are {asked.stages}")
    for part in (asked.medium, asked.finish):
        if part.lower() not in text.lower():
            found.append(f"'{part}' is missing")
    if "; none: " in text:
        found.append("'none: …' is no thing that a protocol asks for")
    return found


@rule(
    r"Reading ⇒ (edge width|thread severing force); a blade's life ends at ({N}) (µm|gf)",
    SETUP,
)
def limit(m, case):
    """Reading and limit of the study."""
    same = number(m[2]) == case.study.limit
    names = {"edge width": "edge_width_um", "thread severing force": "sever_force_gf"}
    if not same or names[m[1]] != case.study.asked.main:
        return f"{case.study.asked.main} to {case.study.limit:g}"
    return None


@rule(r"Who, by the log ⇒ (.+)", SETUP)
def who(m, case):
    """Each of the persons stands in a row of every blade that is named."""
    noted = {(row.get("operator"), row["blade"]) for row in case.study.rows}
    blades, person = {row["blade"] for row in case.study.rows}, ""
    for part in m[1].split("; "):
        before, _, lot = part.rpartition(": ")
        person, named = before or person, lot.split(", ")[:-1]
        names = [each for one in named for each in one.split(" and ")]
        for blade in blades if names == ["all blades"] else names:
            if (person, blade) not in noted:
                return f"{person} stands in no row of {blade}"
    return None


@rule(r"Blades by batch ⇒ (.+)", SETUP)
def by_batch(m, case):
    """Each batch that was typed of a blade, with its blades."""
    for blade in case.study.blades:
        batch = blade.facts.get("batch")
        if batch and not re.search(rf"{re.escape(batch)}: [^;]*\b{re.escape(blade.id)}\b", m[1]):
            return f"{blade.id} was of {batch}"
    return None


@rule(r"Cut on ⇒ (.+)", SETUP)
def cut_on(m, case):
    """Each lot with the blades whose rows note it, and with no blade that met it in no block."""
    rows = [r for r in case.study.rows if not r.get("exclude")]
    told = dict(each.split(": ", 1) for each in m[1].split("; "))
    for row in rows:
        lot, blade = row.get("batch"), re.escape(row["blade"])
        if lot and not re.search(rf"(?<![\w-]){blade}(?![\w-])", told.get(lot, "")):
            return f"{row['blade']} was cut on {lot}"
    for lot, named in told.items():
        blocks = {
            r.get("block", "") for r in rows if r.get("batch", "") == lot.replace("not noted", "")
        }
        for blade in {re.sub(r" (after|to) .*", "", one) for one in re.split(r", | and ", named)}:
            if not any(r["blade"] == blade and r.get("block", "") in blocks for r in rows):
                return f"{blade} was in no block of {lot}"
    return None


def _lots_met(rows, control, met, of):
    """What contradicts that the control met so many of so many lots, or nothing."""
    lots = {r.get("batch") for r in rows} - {None, ""}
    own = {r.get("batch") for r in rows if r["blade"] == control} - {None, ""}
    return None if (met, of) == (len(own), len(lots)) else f"it met {len(own)} of {len(lots)} lots"


@rule(
    r"Control blade ⇒ (.+?), (?:in (\d+) of (\d+) rolls?|in each of (\d+) rolls|(\d+) runs?|(never run|not in the log)|in (\d+) of (\d+) blocks)(?:, on (\d+) of (\d+) lots)?",
    SETUP,
)
def control(m, case):
    """The control, and in how many blocks it ran."""
    if m[1] != case.study.control:
        return f"the control is {case.study.control}"
    main = case.study.asked.main
    rows = [r for r in case.bear.in_use if r.get(main)]
    blocks = {r.get("block", "") for r in rows}
    mine = {r.get("block", "") for r in rows if r["blade"] == m[1]}
    for of, every in (m.group(2, 3), m.group(7, 8)):
        if of and (int(of), int(every)) != (len(mine), len(blocks)):
            return f"it ran in {len(mine)} of {len(blocks)}"
    if m[9]:
        return _lots_met(rows, m[1], int(m[9]), int(m[10]))
    if m[4] and not len(mine) == len(blocks) == int(m[4]):
        return f"it ran in {len(mine)} of {len(blocks)}"
    if m[5] and int(m[5]) != len(mine):
        return f"it ran {len(mine)} times"
    return "it was never run" if not mine and not m[6] else None


@rule(r"Notes ⇒ (.+)", SETUP)
def notes(m, case):
    """The notes as typed."""
    return None if m[1] == case.study.head.get("notes") else "no such notes"


@rule(r"Not noted ⇒ (.+)", SETUP)
def not_noted(m, case):
    """What no blade has noted."""
    found = []
    for label in m[1].split("; "):
        for blade in told_blades(case):
            has = blade.angle if label == "Edge angle" else blade.facts.get(FACTS.get(label, ""))
            if has is not None:
                found.append(f"{label} of {blade.id} was noted")
    return found


@rule(
    r"(Steel|Edge angle|Edge finish|Behind the edge|Wanted, HRC|Measured, HRC|Batch) ⇒ (.+)", SETUP
)
def alike(m, case):
    """A fact of all blades alike."""
    told = (fact_untrue(m[1], m[2], blade, case) for blade in told_blades(case))
    return [t for t in told if t]


@rule(r"({T}) ⇒ ((?:austenitise|normalise|quench|temper|steps not noted).*)", SETUP)
def steps(m, case):
    """The steps of a heat treatment, each quantity as typed or in the units wished for."""
    wish = case.study.document.get("units")
    due = case.study.treatments[case.treatment(m[1])][1]
    if not due:
        return None if m[2] == "steps not noted" else "no step was typed"
    told = m[2].split("; ")
    if len(told) != len(due):
        return f"{len(due)} steps were typed"
    return [one for text, step in zip(told, due, strict=True) for one in _step(text, *step, wish)]


def _step(text, kind, keys, wish):
    rest = text.removeprefix(kind).strip()
    if not text.startswith(kind):
        yield f"the step is {kind}"
    times = re.match(r"^(\d+) × ", rest)
    if (int(times[1]) if times else 1) != keys.get("repeats", 1):
        yield f"it was done {keys.get('repeats', 1)} times"
    rest = rest[times.end() :] if times else rest
    if "medium" in keys and rest != keys["medium"]:
        yield f"the medium was {keys['medium']}"
    if kind == "quench":
        return
    heat, _, time = rest.partition(", ")
    typed = keys.get("temperature_c") or keys.get("temperature_f")
    if not typed_back(heat, typed, wish):
        yield f"typed was {typed.toml}"
    lasting = keys.get("soak_min") or keys.get("time_min")
    if not typed_back(time.removeprefix("soak "), lasting, None):
        yield f"typed was {lasting.toml}"


@rule(r"({T}) ⇒ ({BS})", SETUP)
def members(m, case):
    """The blades of a heat treatment."""
    due = [b.id for b in told_blades(case) if b.treatment == case.treatment(m[1])]
    told = re.split(r", | and ", m[2])
    return None if told == due else f"its blades are {due}"


@rule(r"Heat treatment not noted ⇒ (.+)", SETUP)
def of_no_treatment(m, case):
    """The blades without one; the control is marked."""
    due = [f"{b.id}{' · control' if b.id == case.study.control else ''}"
           for b in told_blades(case) if b.treatment is None]  # fmt: skip
    return None if m[1] == ", ".join(due) else f"without one are {due}"


plain(
    SETUP,
    "Heat treatments, step by step:",
    "Heat treatment, step by step:",
    "Of all blades alike:",
    "Blades:",
)
