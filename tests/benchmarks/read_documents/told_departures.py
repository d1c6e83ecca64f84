"""Which departures does a document tell, and is each of them true and complete?"""

import re

from tests.benchmarks.read_documents.own_arithmetic import worth
from tests.benchmarks.read_documents.own_departures import Departure, expected, run_name

MEANS = {
    "stopped": r"Beyond that stage nothing (?:was seen|counts)",
    "stage left out": r"law carries the curve|fresh edge|first stage",
    "stage added": r"harm nothing",
    "station left out": r"How even the edge wore",
    "station left out once": r"How even the edge wore",
    "station added": r"harm nothing|at other places",
    "station not noted": r"places? cannot be told|How even the edge wore",
    "never read": r"Nothing is said of",
    "fewer repeats": r"Fewer readings scatter more",
    "reading missing": r"from the stages on either side alone",
    "batch not shared": r"cannot be told from what the heat treatment did",
    "no control": r"is not seen",
    "control not run": r"is not seen",
    "control not in block": r"cannot be told from it",
    "no batch": r"cannot be told from a change of blade",
    "batch partly noted": r"cannot be told from a change of blade|which rows|not known",
    "roll begun unclear": r"cannot be told from a change of blade",
    "batch changed": r"bends the curve of wear",
    "angle not noted": r"ground alike is not known",
    "angle": r"wears at another rate",
    "finish not noted": r"finished alike is not known",
    "finishes differ": r"start unlike",
    "finish of another grit": r"of another grit start and wear otherwise",
    "limit": r"Lives to another limit are other lives",
}
TWO_DIGITS = 0.05  # relative: a length printed as 1.6 in may be 1.55 to 1.65 in
READINGS = {
    "edge width": "edge_width_um",
    "thread severing force": "sever_force_gf",
    "sharpness grade": "grade",
    "shaving grade": "grade",
}


def departures(rows, case):
    """Untruths of the section: rows that nothing bears, departures that no row tells."""
    told, found = set(), []
    for asks, done, means in rows:
        try:
            mine = set(_read(asks, done, case))
        except ValueError as unknown:
            found.append(("unknown departure", f"{asks} | {done}", str(unknown)))
            continue
        told |= mine
        for kind in {d.kind for d in mine}:
            if not re.search(MEANS[kind], means):
                found.append(("consequence", f"{asks} | {done} | {means}", kind))
    due = expected(case.study)
    for extra in sorted(told - due, key=str):
        found.append(("invented departure", str(extra), "the log does not show it"))
    for missing in sorted(due - told, key=str):
        found.append(("departure not told", str(missing), "the log shows it"))
    return found


def _runs(names, case):
    """Runs of a list such as 'A1, A2 and A3' or 'all runs'."""
    study = case.study
    runs = {(r["blade"], r.get("block", "")) for r in case.bear.in_use}
    if names in ("all runs", "all blades"):
        return [run_name(study, run) for run in runs]
    known = sorted({run_name(study, r) for r in runs} | {b.id for b in study.blades}, key=len)
    found = []
    for part in re.split(r", | and ", names):
        if part not in known:
            raise ValueError(f"no run is called {part}")
        found.append(part)
    return found


def _places(text, case):
    """Stations in mm of '20, 40, 60 mm' or '0.79, 1.6 in'; of both units, the first."""
    text = re.sub(r"\s*\([^)]*\)", "", text)
    places = [worth(one) for one in text.split(", ")]
    if None in places:
        raise ValueError(f"a place without its unit in '{text}'")
    return [_as_printed(place, case) for place in places]


def _as_printed(place, case):
    """The place of protocol or log that a printed one, of two digits, stands for."""
    read = {r["station_mm"] for r in case.bear.in_use if r.get("station_mm")}
    known = {*map(float, read), *map(float, case.study.asked.stations)}
    near = [one for one in known if abs(one - place) <= TWO_DIGITS * one]
    return min(near, key=lambda one: abs(one - place)) if near else place


def _read(asks, done, case):
    asked = case.study.asked
    if found := re.match(r"^readings at (.+) cuts$", asks):
        if [int(s) for s in found[1].split(", ")] != list(asked.stages):
            raise ValueError("not the protocol's stages")
        return list(_stages(done, case))
    ends = ", at the first and the last stage at the least" if asked.ends_alone else ""
    if found := re.match(rf"^(.+) along the edge{ends}$", asks):
        near = [round(p) for p in _places(found[1], case)]
        if near != list(asked.stations):
            raise ValueError("not the protocol's stations")
        return list(_stations(done, case))
    for title, name in READINGS.items():
        if asks.startswith(title):
            return list(_reading(asks, done, title, name, case))
    return list(_rest(asks, done, case))


def _stages(done, case):
    left_out = (
        r"^(?:not read at (?=[\d, ]+ cuts:)|read at (?=[\d, ]+ cuts, and))(.+) cuts.*?: (.+)$"
    )
    if found := re.match(left_out, done):
        for stage in found[1].split(", "):
            yield from (Departure("stage left out", (r,), stage) for r in _runs(found[2], case))
    elif found := re.match(r"^read at (.+) cuts too: (.+)$", done):
        for stage in found[1].split(", "):
            yield from (Departure("stage added", (r,), stage) for r in _runs(found[2], case))
    elif found := re.match(
        r"^(?:stopped at (?=\d+ cuts:)|all beyond (?=\d+ cuts left out))(\d+) cuts.*?: (.+)$", done
    ):
        yield from (Departure("stopped", (r,), found[1]) for r in _runs(found[2], case))
    else:
        raise ValueError("of stages")


def _stations(done, case):
    kinds = {
        "station left out": r"^nothing at ((?:(?! at the stage).)+): (.+)$",
        "station added": r"^read at (.+) too: (.+)$",
    }
    if found := re.match(r"^no place noted: (.+)$", done):
        yield from (Departure("station not noted", (r,)) for r in _runs(found[1], case))
        return
    if found := re.match(r"^nothing at ((?:(?! at the stage).)+)( at the stages? of .+)$", done):
        for cuts, those in re.findall(r"at the stages? of ([\d, ]+) cuts: ([^;]+)", found[2]):
            for place in _places(found[1], case):
                for run in _runs(those, case):
                    for at in cuts.split(", "):
                        yield Departure("station left out once", (run,), f"{round(place)} {at}")
        return
    for kind, pattern in kinds.items():
        if found := re.match(pattern, done):
            for place in _places(found[1], case):
                for run in _runs(found[2], case):
                    yield Departure(kind, (run,), f"{round(place)}")
            return
    raise ValueError("of stations")


def _reading(asks, done, title, name, case):
    if asks == f"{title} at every stage":
        found = re.match(r"^not read at (.+) cuts: (.+)$", done)
        for stage in found[1].split(", "):
            for run in _runs(found[2], case):
                yield Departure("reading missing", (run,), f"{name} {stage}")
    elif asks == title and done == "never read":
        yield Departure("never read", (), name)
    elif found := re.match(r"^fewer at (\d+) of (\d+) places, (\d+) times? at the least$", done):
        repeats = case.study.asked.repeats[name]
        counts = {}
        for r in case.bear.in_use:
            if r.get(name):
                key = (r["blade"], r.get("block", ""), r["cuts"], r.get("station_mm", ""))
                counts[key] = counts.get(key, 0) + 1
        mine = (sum(c < repeats for c in counts.values()), len(counts), min(counts.values()))
        if tuple(map(int, found.groups())) != mine:
            raise ValueError(f"the log has {mine}")
        if asks != f"{title} {repeats} times a stage":
            raise ValueError("not what the protocol asks")
        yield Departure("fewer repeats", (), name)
    else:
        raise ValueError("of readings")


def _rest(asks, done, case):
    asked, study = case.study.asked, case.study
    if asks.startswith("a control blade"):
        if done == "none was named":
            yield Departure("no control", ())
        elif done == f"{study.control} was named and never run":
            yield Departure("control not run", (study.control,))
        elif found := re.match(rf"^{re.escape(str(study.control))} was not run in (.+)$", done):
            blocks = ", ".join(sorted(re.split(r", | and ", found[1])))
            yield Departure("control not in block", (study.control,), blocks)
        else:
            raise ValueError("of the control")
    elif asks == "every roll shared among the heat treatments":
        for part in done.split("; "):
            lot, who = re.match(r"^(.+): (.+) alone$", part).groups()
            kinds = sorted(str(case.treatment(k)) for k in re.split(r", | and ", who))
            yield Departure("batch not shared", tuple(kinds), lot)
    elif asks.lower().lstrip("“").startswith(asked.batch):
        yield from _batches(done, case)
    elif found := re.match(r"^([\d.]+)° per side \(([\d.]+)° included\)$", asks):
        if float(found[1]) != asked.angle or float(found[2]) != 2 * asked.angle:
            raise ValueError("not the protocol's angle")
        yield from _angles(done, case)
    elif asks == asked.finish:
        yield from _finishes(done, case)
    elif found := re.match(r"^(?:a )?limit (?:of|at) ([\d.]+) (?:µm|gf)", asks):
        if float(found[1]) != asked.limit:
            raise ValueError("not the protocol's limit")
        told = re.search(r"([\d.]+) (?:µm|gf)", done)
        yield Departure("limit", (), f"{float(told[1]):g}")
    else:
        raise ValueError("no rule")


def _batches(done, case):
    if done == "no roll, bundle or board was noted":
        yield Departure("no batch", ())
    elif re.match(r"^not noted in (\d+) of (\d+) rows$", done):
        yield Departure("batch partly noted", ())
    elif found := re.match(r"^not noted (to .+)$", done):
        for part in found[1].split("; "):
            runs = re.match(r"^to [\d.]+ cuts: (.+)$", part)
            yield from (Departure("roll begun unclear", (r,)) for r in _runs(runs[1], case))
    elif found := re.match(r"^changed within the run: (.+)$", done):
        for part in found[1].split("; "):
            runs = re.match(r"^.+ to [\d.]+ cuts(?:, .+ to [\d.]+)+: (.+)$", part)
            yield from (Departure("batch changed", (r,)) for r in _runs(runs[1], case))
    else:
        raise ValueError("of the batch")


def _angles(done, case):
    if found := re.match(r"^not noted: (.+)$", done):
        yield from (Departure("angle not noted", (b,)) for b in _blades(found[1], case))
        return
    for part in done.split("; "):
        told = re.match(r"^(.+) ([\d.]+)° (per side|included) \(([\d.]+)° (per side|included)\)$",
                        part)  # fmt: skip
        if not told:
            raise ValueError("of angles")
        side = float(told[2] if told[3] == "per side" else told[4])
        yield from (Departure("angle", (b,), f"{side:g}") for b in _blades(told[1], case))


def _finishes(done, case):
    if found := re.match(r"^not noted: (.+)$", done):
        yield from (Departure("finish not noted", (b,)) for b in _blades(found[1], case))
        return
    if done in {blade.facts.get("edge_finish") for blade in case.study.blades}:
        yield Departure("finish of another grit", ())
        return
    pairs = [part.rsplit(": ", 1) for part in done.split("; ")]
    ran = {r["blade"] for r in case.bear.in_use}
    for blade in (b for b in case.study.blades if b.id in ran):
        noted = blade.facts.get("edge_finish")
        mine = [text for text, names in pairs if blade.id in re.split(r", | and ", names)]
        if noted and mine != [noted]:
            raise ValueError(f"{blade.id} was noted as {noted}")
    yield Departure("finishes differ", ())


def _blades(names, case):
    ids = {b.id for b in case.study.blades}
    if names == "all blades":
        return sorted({r["blade"] for r in case.bear.in_use})
    found = re.split(r", | and ", names)
    if set(found) - ids:
        raise ValueError(f"no blade is called {set(found) - ids}")
    return found
