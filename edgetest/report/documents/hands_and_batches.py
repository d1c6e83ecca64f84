"""Who worked by the log, and which blades of each heat treatment came in which batch?"""

from edgetest.report.letters import breakable
from edgetest.study.bench.blinding import is_sealed
from edgetest.study.words import listed


def hands_words(log):
    """Each person of the column operator with the stages of their rows; "" where nobody stands."""
    met: dict[str, set[float]] = {}
    for row in log.rows:
        if row.operator and not row.waiting:
            met.setdefault(row.operator, set()).add(row.cuts)
    every = {cuts for own in met.values() for cuts in own}
    return "; ".join(
        f"{breakable(who)}: {'all stages' if own == every else _cuts(own)}"
        for who, own in met.items()
    )


def _cuts(own):
    return f"{listed(f'{cuts:g}' for cuts in sorted(own))} cuts"


def batches_words(study):
    """The blades of each batch by heat treatment; "" for one batch, or where names are sealed."""
    batches = list(dict.fromkeys(blade.batch for blade in study.blades if blade.batch))
    if len(batches) < 2 or is_sealed(study):
        return ""
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    told = []
    for batch in batches:
        of: dict[str | None, list[str]] = {}
        for blade in study.blades:
            if blade.batch == batch:
                of.setdefault(blade.heat_treatment, []).append(blade.id)
        parts = (
            f"{listed(own)} ({titles[name]})" if name in titles else listed(own)
            for name, own in of.items()
        )
        told.append(breakable(f"{batch}: {', '.join(parts)}"))
    return "; ".join(told)
