"""What changed together with the heat treatment in a chop test: boards, days, hands, batches?"""

from edgetest.doubts import Where, doubt

# What a row is of, and how it is spoken of: one, and several.
FACTORS = {
    "board": (lambda row: row.board_or_block, "boards"),
    "day": (lambda row: row.day or row.date, "days"),
    "operator": (lambda row: row.operator, "operators"),
}


def mixing_doubts(log, study, treatment_of):
    """Whether a board, a day or a hand, or the batch, may pass for the heat treatment.

    Parameters
    ----------
    log : ChopLog
    study : Study or None
    treatment_of : mapping of str to str
        Heat treatments that are compared, by blade; empty: none.

    Yields
    ------
    Doubt
        One a factor of which no level saw blades of two heat treatments.
    """
    if not treatment_of:
        return
    for what, (level_of, plural) in FACTORS.items():
        seen: dict[str, dict[str, None]] = {}
        for row in log.rows:
            level = level_of(row)
            if level and row.blade in treatment_of and not row.exclude and not row.waiting:
                seen.setdefault(level, {})[treatment_of[row.blade]] = None
        if len(seen) > 1 and all(len(kinds) == 1 for kinds in seen.values()):
            words = "; ".join(f"{level}: {', '.join(kinds)}" for level, kinds in seen.items())
            yield doubt(
                "mixed_with_treatment",
                what=what,
                plural=plural,
                seen=words,
                where=Where(value=what),
            )
    yield from _batch_doubts(study, treatment_of)


def _batch_doubts(study, treatment_of):
    """Blades of a heat treatment that were hardened together, or may have been."""
    batches: dict[str, list[str]] = {}
    for name, kind in treatment_of.items():
        batches.setdefault(kind, []).append(study.blade(name).batch)
    if max(map(len, batches.values())) < 2:
        return
    if not any(batch for own in batches.values() for batch in own):
        yield doubt("batches_unknown")
        return
    shared = set.intersection(*map(set, batches.values())) - {""}
    alone = [] if shared else list(_alone(batches))
    noted = [kind for kind in alone if all(batches[kind])]
    if alone:
        code = "batch_confounded" if noted else "batch_may_be_confounded"
        yield doubt(code, where=Where(value=(noted or alone)[0]))
    elif not all(map(all, batches.values())):
        yield doubt("batches_unknown")
    elif not shared and _several_in_one(batches):
        yield doubt("batches_counted_as_blades")


def _alone(batches):
    """Heat treatments whose blades may all have come from one batch, a blank one from any."""
    for kind, own in batches.items():
        if len(own) > 1 and len(set(own) - {""}) < 2:
            yield kind


def _several_in_one(batches):
    """Whether a batch holds several blades of a heat treatment."""
    return any(len(set(own)) < len(own) for own in batches.values())
