"""Who worked by the log, on which rolls, and which blades came in which batch?"""

from edgetest.report.letters import breakable
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.wear.rolls_cut import roll_of_rows
from edgetest.study.words import listed


def hands_words(log):
    """Each person of the column operator with blades and stages; "" where nobody stands.

    A row without a reading counts where a person and what happened stand in it: the cuts were made.

    Parameters
    ----------
    log : Log

    Returns
    -------
    str
        "Q: A2 and B1, all stages; me: A1 and B2, all stages; A2, 0 and 10 cuts".
    """
    rows = [
        row for row in log.rows
        if not row.waiting or (row.operator and (row.note or row.mishap or row.exclude))
    ]  # fmt: skip
    every: dict[str, set[float]] = {}
    met: dict[str, dict[str, set[float]]] = {}
    for row in rows:
        every.setdefault(row.blade, set()).add(row.cuts)
        if row.operator:
            met.setdefault(row.operator, {}).setdefault(row.blade, set()).add(row.cuts)
    return "; ".join(
        f"{breakable(who)}: {_blades_and_stages(own, every)}" for who, own in met.items()
    )


def _blades_and_stages(own, every):
    """Blades that share their stages together, each lot with these stages."""
    lots: dict[str, list[str]] = {}
    for blade, cuts in own.items():
        lots.setdefault("all stages" if cuts == every[blade] else _cuts(cuts), []).append(blade)
    return "; ".join(
        f"{'all blades' if len(names) == len(every) > 1 else breakable(listed(names))}, {stages}"
        for stages, names in lots.items()
    )


def _cuts(own):
    return f"{listed(f'{cuts:g}' for cuts in sorted(own))} cuts"


def rolls_words(log):
    """The blades that were cut on each roll; "" where the log's column batch tells no two apart.

    Where each block is a roll of its own, the blades' blocks say as much.

    Parameters
    ----------
    log : Log

    Returns
    -------
    str
        "coil 1: A, B and C to 100 cuts; coil 2: D and C after 100 cuts".
    """
    rows = [row for row in log.rows if not row.waiting and not row.exclude]
    rolls = roll_of_rows(rows)
    if len({*rolls} - {""}) < 2 or {*rolls} - {""} <= {row.block for row in rows}:
        return ""
    runs: dict[tuple[str, str], dict[str, float]] = {}  # the last cuts on each roll
    for row, roll in sorted(zip(rows, rolls, strict=True), key=lambda pair: pair[0].cuts):
        runs.setdefault((row.blade, row.block), {})[roll] = row.cuts
    told = {roll: list(dict.fromkeys(_blades_on(roll, runs))) for roll in dict.fromkeys(rolls)}
    return "; ".join(
        breakable(f"{roll or 'not noted'}: {listed(blades)}") for roll, blades in told.items()
    )


def _blades_on(roll, runs):
    """The blades that were cut on a roll; those of which only a part was stand last."""
    met = [(blade, list(own), own) for (blade, _), own in runs.items() if roll in own]
    for blade, turns, own in sorted(met, key=lambda one: len(one[1]) > 1):
        k = turns.index(roll)
        ends = f" after {own[turns[k - 1]]:g}" if k else ""
        ends += f" to {own[roll]:g}" if k < len(turns) - 1 else ""
        yield f"{blade}{ends}{' cuts' * bool(ends)}"


def batches_words(study):
    """The blades of each batch by heat treatment; "" for one batch, or where names are sealed.

    Where each batch is of one blade, the table of the blades says as much.
    """
    named = [blade.batch for blade in study.blades if blade.batch]
    batches = list(dict.fromkeys(named))
    if len(batches) in (0, 1, len(named)) or is_sealed(study):
        return ""
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    told = []
    for batch in batches:
        of: dict[str | None, list[str]] = {}
        for blade in study.blades:
            if blade.batch == batch:
                of.setdefault(blade.heat_treatment, []).append(blade.id)
        parts = (
            f"{listed(own)}{_of(titles[name])}" if name in titles else listed(own)
            for name, own in of.items()
        )
        told.append(breakable(f"{batch}: {', '.join(parts)}"))
    return "; ".join(told)


def _of(title):
    """A heat treatment behind its blades: in brackets, behind a comma where it has its own."""
    return f", {title}" if "(" in title else f" ({title})"
