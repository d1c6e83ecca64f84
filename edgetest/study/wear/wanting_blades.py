"""Is a study read before the blades of its plan were tested, and are some of these left out?"""

from edgetest.doubts import Where, doubt


def read_early(study, lives, control, also=(), left_out=()):
    """The doubt that a study without looks is read before its planned blades are tested.

    Blades of `also`, each with its heat treatment, were cut and read but have no life. Where those
    of `left_out` alone are wanting, all were cut: the doubt is about them.
    """
    if study is None or not (study.plan or {}).get("order") or "looks" in study.plan:
        return ()
    cut = (*zip(lives.blade, lives.treatment, strict=True), *also)
    planned = _by_treatment(((one.id, one.heat_treatment) for one in study.blades), control)
    seen = _by_treatment(cut, control)
    least = min((len(names) for names in planned.values()), default=0)
    short = {name: len(seen.get(name, ())) for name in planned}
    tested = min(short.values(), default=0)
    if not 0 < tested < least:
        return ()
    lost = _lost(planned, short, least, left_out)
    if lost:
        return tuple(
            doubt("blades_lost", planned=least, seen=tested, where=Where(blade=each))
            for each in lost
        )
    return (doubt("read_early", planned=least, seen=tested, where=Where(value=tested)),)


def _lost(planned, short, least, left_out):
    """The blades that were left out and are wanting; none where others are wanting too."""
    lost = {name: names.intersection(left_out) for name, names in planned.items()}
    if any(count + len(lost[name]) < least for name, count in short.items()):
        return []
    return sorted(blade for name, count in short.items() if count < least for blade in lost[name])


def _by_treatment(pairs, control):
    """The blades of each heat treatment, without the control blade and those that have none."""
    found: dict[str, set[str]] = {}
    for blade, treatment in pairs:
        if treatment and blade != control:
            found.setdefault(str(treatment), set()).add(str(blade))
    return found
