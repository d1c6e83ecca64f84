"""A comparison with its heat treatments under their titles, as a person reads them."""

from dataclasses import replace


def titles_of(study):
    """Title of each heat treatment by id; empty where two share one, which would hide them."""
    if study is None:
        return {}
    titles = {each.id: each.title or each.id for each in study.heat_treatments}
    return titles if len(set(titles.values())) == len(titles) else {}


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


def _titled_family(family, titles):
    """The family of a pair, which may name the heat treatment it is held against."""
    against, _, name = family.partition("against ")
    return family if against or name not in titles else f"against {titles[name]}"
