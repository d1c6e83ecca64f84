"""Heat treatments and blades under their titles, as a person reads them."""

import re
from dataclasses import replace

from edgetest.study.bench.blinding import is_blinded
from edgetest.wear.compare.what_counts import unequal_numbers

# First words of a title that is no name: "3 blades of tempered at 200 °C" would not read.
NO_NAME = re.compile(r"(?:\w+ed|as|at|from|in|no|not|on|once|twice|with|without)\b", re.IGNORECASE)


def titles_of(study):
    """Title of each heat treatment by id, as a sentence says it.

    Returns
    -------
    dict of str to str
        In quotation marks, all of them, where one is no name: “tempered at 200 °C”.
    """
    titles = bare_titles_of(study)
    typed = [each.title for each in study.heat_treatments if each.title] if titles else []
    if not any(NO_NAME.match(title) for title in typed):
        return titles
    return {name: f"“{title}”" for name, title in titles.items()}


def bare_titles_of(study):
    """Title of each heat treatment by id, for tables and figures.

    Returns
    -------
    dict of str to str
        Empty where two share one, which would hide them.
    """
    if study is None:
        return {}
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    return titles if len(set(titles.values())) == len(titles) else {}


def blade_names(study):
    """What a person reads of each blade, by id: its title too, and its heat treatment's.

    Nothing of a blinded study, whose blades go by codes alone.

    Parameters
    ----------
    study : Study

    Returns
    -------
    dict of str to str
        "H1, long hook (180 °C)"; an id that the title holds is not said again.
    """
    if is_blinded(study):
        return {}
    titles, names = bare_titles_of(study), {}
    for blade in study.blades:
        name = blade.title if blade.id in blade.title.split() else ""
        name = name or ", ".join(filter(None, (blade.id, blade.title)))
        treatment = titles.get(blade.heat_treatment, blade.heat_treatment)
        names[blade.id] = f"{name} ({treatment})" if treatment else name
    return names


def titled_comparison(comparison, titles):
    """The comparison with every heat treatment named by `titles` (id to title).

    Names are replaced where they stand alone, never inside a sentence: "long" is a name
    that a sentence may hold too.
    """

    def titled(part, *names):
        return replace(part, **{n: titles.get(getattr(part, n), getattr(part, n)) for n in names})

    return replace(
        titled(comparison, "first", "second"),
        groups=tuple(titled(group, "treatment") for group in comparison.groups),
        pairs=tuple(
            replace(titled(pair, "first", "second"), family=_titled_family(pair.family, titles))
            for pair in comparison.pairs
        ),
    )


def numbers_by_title(comparison, titles):
    """The comparison, its doubt about unequal numbers naming heat treatments by `titles`."""
    groups = comparison.groups
    if len({one.replicates for one in groups}) == 1:
        return comparison
    plain = unequal_numbers({g.treatment: g.replicates for g in groups}, groups[0].counted)
    sizes = {titles.get(g.treatment, g.treatment): g.replicates for g in groups}
    said = replace(unequal_numbers(sizes, groups[0].counted), where=plain.where)
    doubts = tuple(said if one == plain else one for one in comparison.doubts)
    return replace(comparison, doubts=doubts)


def _titled_family(family, titles):
    """The family of a pair, which may name the heat treatment it is held against."""
    against, _, name = family.partition("against ")
    return family if against or name not in titles else f"against {titles[name]}"
