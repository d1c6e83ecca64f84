"""What was done otherwise than the protocol asks? From its text and the invented study alone."""

from dataclasses import dataclass

SAME_ANGLE = 0.05  # degrees per side: typed angles are equal or they are not


@dataclass(frozen=True)
class Departure:
    """One thing: what kind, of which blades or stages, and what the row must say."""

    kind: str
    of: tuple[str, ...]
    value: str = ""


def expected(study):
    """Every departure that log and facts show."""
    runs = _runs(study)
    found = [
        *_stages(study, runs),
        *_stations(study, runs),
        *_readings(study),
        *_gaps(study, runs),
        *_control(study, runs),
        *_batches(study),
        *_shared(study),
        *_edges(study, {blade for blade, _ in runs}),
    ]
    if study.limit != study.asked.limit:
        found.append(Departure("limit", (), f"{study.limit:g}"))
    return set(found)


def _runs(study):
    """Rows by blade and block; rows that were struck out are no reading."""
    runs = {}
    for row in study.rows:
        if not row.get("exclude"):
            runs.setdefault(_run_of(row), []).append(row)
    return runs


def run_name(study, run):
    """A run as people say it: the blade, with its roll where the blade ran on several."""
    blade, block = run
    blocks = {r.get("block", "") for r in study.rows if r["blade"] == blade}
    return f"{blade} ({block})" if len(blocks) > 1 else blade


def _past(study, rows, last):
    """Whether the last stage lies past the limit on average: such an edge need not go on."""
    typed = [str(r.get(study.asked.main) or "") for r in rows if int(r["cuts"]) == last]
    values = [_number(each) for each in typed if each]
    return bool(values) and sum(values) / len(values) > study.limit


def _number(typed):
    """Of a reading; 0 of one that is known to a bound alone."""
    try:
        return float(typed.replace(",", "."))
    except ValueError:
        return 0.0


def _stages(study, runs):
    asked = set(study.asked.stages)
    for run, rows in runs.items():
        read = {int(r["cuts"]) for r in rows}
        name = run_name(study, run)
        if max(read) < max(asked) and not _past(study, rows, max(read)):
            yield Departure("stopped", (name,), str(max(read)))
        for stage in asked - read:
            if stage < max(read):
                yield Departure("stage left out", (name,), str(stage))
        for stage in read - asked:
            yield Departure("stage added", (name,), str(stage))


def _stations(study, runs):
    if study.asked.main not in ("edge_width_um", "sever_force_gf"):
        return
    asked = {str(s) for s in study.asked.stations}
    for run, rows in runs.items():
        mine = [r for r in rows if r.get(study.asked.main)]
        if not mine:
            continue
        read = {r.get("station_mm", "") for r in mine} - {""}
        name = run_name(study, run)
        if not read:
            yield Departure("station not noted", (name,))
            continue
        struck = [r for r in study.rows if r.get("exclude") and _run_of(r) == run]
        for place in asked - read - {r.get("station_mm", "") for r in struck}:
            yield Departure("station left out", (name,), place)
        for place in read - asked:
            yield Departure("station added", (name,), place)
        seen = {}  # at each stage, with what was struck out
        for r in (*mine, *struck):
            seen.setdefault(r["cuts"], set()).add(r.get("station_mm", ""))
        ends = {min(seen, key=float), max(seen, key=float)}
        for cuts, there in seen.items():
            held = cuts in ends or not study.asked.ends_alone
            if held and there & read & asked:
                for place in read & asked - there:
                    yield Departure("station left out once", (name,), f"{place} {cuts}")


def _run_of(row):
    return row["blade"], row.get("block", "")


def _readings(study):
    for name, repeats in study.asked.repeats.items():
        rows = [r for r in study.rows if r.get(name) and not r.get("exclude")]
        if not rows:
            yield Departure("never read", (), name)
        elif repeats > 1:
            counts = {}
            for r in rows:
                key = (r["blade"], r.get("block", ""), r["cuts"], r.get("station_mm", ""))
                counts[key] = counts.get(key, 0) + 1
            if min(counts.values()) < repeats:
                yield Departure("fewer repeats", (), name)


def _gaps(study, runs):
    """Stages of a run that were read, but not by this reading, nor struck out again."""
    struck = [r for r in study.rows if r.get("exclude")]
    for name in study.asked.repeats:
        if not any(r.get(name) for rows in runs.values() for r in rows):
            continue
        for run, rows in runs.items():
            visited = {r["cuts"] for r in rows}
            left = {r["cuts"] for r in struck if r.get(name) and _run_of(r) == run}
            for stage in visited - left - {r["cuts"] for r in rows if r.get(name)}:
                yield Departure("reading missing", (run_name(study, run),), f"{name} {stage}")


def _control(study, runs):
    if study.control is None:
        yield Departure("no control", ())
        return
    blocks = {block for _, block in runs}
    mine = {block for blade, block in runs if blade == study.control}
    if not mine:
        yield Departure("control not run", (study.control,))
    elif blocks - mine:
        yield Departure("control not in block", (study.control,), ", ".join(sorted(blocks - mine)))


def _batches(study):
    rows = [r for r in study.rows if not r.get("exclude")]
    named = {r.get("batch", "") for r in rows}
    blocks = {r.get("block", "") for r in rows} - {""}
    if named == {""} and not blocks:
        yield Departure("no batch", ())
        return
    # A row whose roll stands in the block has its roll noted.
    unnoted = [r for r in rows if not (r.get("batch") or r.get("block"))]
    if unnoted and named != {""}:
        yield Departure("batch partly noted", ())
    for run in {(r["blade"], r.get("block", "")) for r in rows}:
        of_run = [r for r in rows if (r["blade"], r.get("block", "")) == run]
        mine = {r.get("batch", "") for r in of_run} - {""}
        if run[1] and _first_blank(of_run) and not _bare(rows, run[1]):
            yield Departure("roll begun unclear", (run_name(study, run),))
        if len(mine) > 1:
            yield Departure("batch changed", (run_name(study, run),))


def _first_blank(rows):
    """Whether a run names its batch only once it was cut without one."""
    noted = [int(r["cuts"]) for r in rows if r.get("batch")]
    return bool(noted) and any(0 < int(r["cuts"]) < min(noted) for r in rows)


def _bare(rows, block):
    """Whether some run of a block names no batch at all."""
    of = {}
    for r in rows:
        if r.get("block", "") == block:
            of.setdefault(r["blade"], set()).add(r.get("batch", ""))
    return any(named == {""} for named in of.values())


def _shared(study):
    """Batches that some heat treatments never met."""
    kinds = {b.id: b.treatment for b in study.blades if b.treatment}
    rows = [r for r in study.rows if not r.get("exclude") and r["blade"] in kinds]
    lots = {}
    for r in rows:
        if r.get("batch"):
            lots.setdefault(r["batch"], set()).add(kinds[r["blade"]])
    every = {kinds[r["blade"]] for r in rows}
    for lot, those in lots.items():
        if those != every:
            yield Departure("batch not shared", tuple(sorted(those)), lot)


def _edges(study, ran):
    blades = [b for b in study.blades if b.id in ran]
    for blade in blades:
        if blade.angle is None:
            yield Departure("angle not noted", (blade.id,))
        elif abs(blade.angle - study.asked.angle) > SAME_ANGLE:
            yield Departure("angle", (blade.id,), f"{blade.angle:g}")
        if "edge_finish" not in blade.facts:
            yield Departure("finish not noted", (blade.id,))
    finishes = {b.facts["edge_finish"] for b in blades if "edge_finish" in b.facts}
    if len(finishes) > 1:
        yield Departure("finishes differ", ())
    elif "400 grit" in "".join(finishes) and "1000 grit" in study.asked.finish:
        yield Departure("finish of another grit", ())
