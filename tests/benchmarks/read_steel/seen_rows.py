"""May the page say so of a piece, a heat, a temper, a trial? Held against what was typed.

Every part of a line of "What was seen" has to be one of the parts that the row's own facts allow;
what the maker did not note allows nothing, but for the words that say so.
"""

import re

from tests.benchmarks.read_steel.made_steels import FILES

CONVERTED = re.compile(
    r"(-?[\d.]+(?: \d+/\d+)?(?:/\d+)?) (mm|in|°C|°F) \((-?[\d.]+) (mm|in|°C|°F)\)"
)
TO = {
    ("mm", "in"): lambda x: x / 25.4, ("in", "mm"): lambda x: x * 25.4,
    ("°C", "°F"): lambda x: x * 9 / 5 + 32, ("°F", "°C"): lambda x: (x - 32) * 5 / 9,
}  # fmt: skip


def bare(text, found):
    """A text without its conversions in brackets; those that are wrong go to `found`."""

    def held(m):
        whole, _, part = m[1].rpartition(" ")
        top, _, below = part.partition("/")
        value = float(whole or 0) + (float(top) / float(below) if below else float(top))
        if m[2] == m[4]:
            found.append(f"{m[0]} says one unit twice")
            return m[0]
        due = TO[m[2], m[4]](value)
        if text[: m.start()].endswith(
            ("step of ", "steps of ", "step of about ", "steps of about ")
        ):
            due = value * 9 / 5  # a difference
        step = 10.0 ** -len(m[3].partition(".")[2])
        if abs(due - float(m[3])) > max(0.51 * step, 0.02 * abs(due) if m[4] == "in" else 0.51):
            found.append(f"{m[1]} {m[2]} is {due:.4g} {m[4]}")
        return f"{m[1]} {m[2]}"

    return CONVERTED.sub(held, text)


def unborne(name, line, steel):
    """What a line of "What was seen" says that its row does not bear."""
    found = []
    row, allowed = _row_of(name, steel)
    if row is None:
        return [f"nothing that was noted is called '{name}'"]
    text = bare(line, found)
    for part in text.split("; "):
        if part not in allowed and not _of_free_words(part, row, text):
            found.append(f"'{part}' is not among {sorted(allowed)}")
    return found


def _of_free_words(part, row, text):
    """Free words may hold a semicolon or a comma of their own."""
    free = [row[key] for key in ("form", "source") if key in row]
    return any(part in words and words in text for words in free)


def _row_of(name, steel):
    several = len(steel.pieces) > 1
    for piece in steel.pieces:
        if name == piece["id"]:
            return piece, _piece(piece, steel)
    for heat in steel.heats:
        numbered = [h for h in steel.heats if h["piece"] == heat["piece"]]
        numbered = [h for h in numbered if h["coupon"] == heat["coupon"]]
        own = f"coupon {heat['coupon']}, heat {numbered.index(heat) + 1}"
        if name == (f"{heat['piece']}, {own}" if several else own):
            return heat, _heat(heat, steel)
    for trial in steel.trials:
        if name == f"{trial['piece']}, {trial['test']}":
            return trial, {trial["result"], f"edge {trial.get('edge')}", *_worked(trial)}
        coupon = f"coupon {trial.get('coupon')}, heat {trial.get('heat', 1)}"
        if name == (f"{trial['piece']}, {coupon}" if several else coupon):
            told = {trial["test"], trial["result"], f"edge {trial.get('edge')}"}
            return trial, told | _worked(trial)
    if name == "Files":
        told = ", ".join(f"{hrc:g}" for hrc in FILES[:-1])
        return steel.evidence, {f"{told} and {FILES[-1]:g} HRC"}
    if name == "Tester":
        known = "a number is taken as ± 2 HRC (95 %", "common practice, no source)"
        return steel.evidence, set(known)
    if name == "Degrees of the tempers":
        dial, beside = "by the oven's own dial alone", "by a thermometer beside the coupon"
        return steel.evidence, {beside if steel.evidence.get("oven_checked") else dial}
    if name == "Sparked beside":
        known = {steel.evidence.get("known_low"), steel.evidence.get("known_high")} - {None}
        return (steel.evidence, known) if known else (None, set())
    return None, set()


def _worked(trial):
    """How much a chop was, where that is told or missing."""
    many = trial.get("strokes")
    if trial["test"] != "chop":
        return set()
    return {"strokes not noted" if many is None else f"{many} stroke{'s' * (many != 1)}"}


def _shown(value, steel):
    """What was typed; a number without a unit in inches or °F alone where the page is asked so."""
    if steel.document.get("units") != "inch":
        return value.shown
    told = list(value.shown)
    for one in value.shown:
        number, _, unit = one.partition(" ")
        if unit in ("mm", "°C"):
            other = TO[unit, "in" if unit == "mm" else "°F"](float(number))
            told.append(f"{other:.0f} °F" if unit == "°C" else f"{float(f'{other:.2g}'):g} in")
    return tuple(told)


def _piece(piece, steel):
    told = {piece.get("form"), piece.get("source"), piece.get("origin")} - {None, "unknown"}
    told |= {f"lot {piece['lot']}"} if piece.get("lot") else set()
    if "thickness_mm" in piece:
        told |= {f"{one} thick" for one in _shown(piece["thickness_mm"], steel)}
    if "makes_blades" in piece:
        many = piece["makes_blades"]
        told.add(f"for {many} blade{'s' * (many != 1)}")
    told.add(f"coating {piece['coating']}" if "coating" in piece else "coating not looked at")
    for key, words in (("lead", "lead"), ("magnet", "magnet"), ("sparks", "sparks"),
                       ("stream", "stream"), ("fracture", "break")):  # fmt: skip
        told |= {f"{words} {piece[key]}"} if key in piece else set()
    if "carbon_pct" in piece:
        told.add(f"{piece['carbon_pct']:g} % carbon by analysis")
    return told | readings_told(piece)


PLACES = {"hardness_skin": " on the skin", "hardness_below": " below the skin", "hardness": ""}


def readings_told(row):
    """The readings of a row in one part, in the order of their places."""
    parts = [f"{_hrc(row[key])}{place}" for key, place in PLACES.items() if key in row]
    return {", ".join(parts)} if parts else set()


def _hrc(typed):
    text = str(typed).strip('"')
    if text in ("skates all", "bites all"):
        return f"over {max(FILES)} HRC" if text == "skates all" else f"under {min(FILES)} HRC"
    if text[0] in "<>":
        return f"{'under' if text[0] == '<' else 'over'} {text[1:]} HRC"
    return f"{text.replace('-', ' to ')} HRC"


def _heat(heat, steel):
    """A heat's parts; the first is one of several, for a size may be told in more ways than one."""
    ways = [""]

    def then(words):
        nonlocal ways
        ways = [", ".join(filter(None, (way, word))) for way in ways for word in words]

    if "heat_c" in heat:
        then(_shown(heat["heat_c"], steel))
    if "colour" in heat:
        then([heat["colour"]])
    if "magnet" in heat:
        then([f"the magnet {heat['magnet']}"])
    if "soak_min" in heat:
        then([f"soaked {one}" for one in _shown(heat["soak_min"], steel)])
    at = [f" at {one}" for one in _shown(heat["medium_c"], steel)] if "medium_c" in heat else [""]
    unknown = heat["medium"] == "unknown"
    then(["quench not told"] if unknown else [f"into {heat['medium']}{one}" for one in at])
    told = set(ways) | readings_told(heat)
    told |= {f"grain {heat['grain']}"} if "grain" in heat else set()
    told |= {heat["fracture"]} if "fracture" in heat else set()
    told |= {f"{heat['cracked']} of {heat['count']} cracked"} if "cracked" in heat else set()
    for temper in steel.tempers:
        if (temper["piece"], temper["coupon"]) == (heat["piece"], heat["coupon"]):
            told |= _temper(temper, steel)
    return told


def _temper(temper, steel):
    times = f"{temper['repeats']} × " if "repeats" in temper else ""
    long = (
        [f", {one}" for one in _shown(temper["time_min"], steel)] if "time_min" in temper else [""]
    )
    read = "".join(f": {one}" for one in readings_told(temper))
    degrees = _shown(temper["temperature_c"], steel)
    return {f"temper {times}{at}{one}{read}" for at in degrees for one in long}
