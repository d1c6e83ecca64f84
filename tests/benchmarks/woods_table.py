"""The woods that are known, as the guide lists them: figures, and where each of them is from.

Run: python -m tests.benchmarks.woods_table
"""

from collections import Counter

from edgetest.chop.species import RECKONED, SPECIES
from edgetest.chop.wood import wood_of_species
from edgetest.chop.wood_relations import density_kg_m3
from edgetest.chop.wood_table import SOURCES

HEAD = """\
# Woods

Names, densities and side (Janka) hardnesses that the program knows, all at 12 % moisture. A
letter behind a figure is its source, below. *reckoned*: no published side hardness was found (or
the source says that it estimated its own); the figure follows from the density by the Wood
Handbook's Table 5-11a, and its interval is wider. Write a name as it stands here, turned round
(*European ash*), or the botanical name. Made by `python -m tests.benchmarks.woods_table`.
"""


def lines():
    """The chapter, line by line."""
    yield HEAD
    letters = {source: letter for letter, source in SOURCES.items()}
    for region in ("European", "Asian", "American"):
        yield f"## {region}\n"
        yield "| wood | botanical name | kind | density, kg/m³ | side hardness, N (95 %) |"
        yield "| --- | --- | --- | --- | --- |"
        for row in sorted(SPECIES.values(), key=lambda row: row.name.lower()):
            if row.region == region:
                yield _line(row, letters)
        yield ""
    yield "## Sources\n"
    yield "| letter | source | densities | hardnesses |"
    yield "| --- | --- | --- | --- |"
    densities = Counter(row.density_source for row in SPECIES.values())
    hardnesses = Counter(row.hardness_source for row in SPECIES.values())
    for letter, source in SOURCES.items():
        yield f"| {letter} | {source} | {densities[source]} | {hardnesses[source]} |"
    yield f"| | reckoned from the density | | {hardnesses[RECKONED]} |"
    yield f"\n{len(SPECIES)} woods in all."


def _line(row, letters):
    """One wood's row of the table."""
    density = density_kg_m3(row.specific_gravity_12, 12)
    hardness = wood_of_species(row.name, moisture_pct=12).side_hardness_n
    ends = f"{hardness.value:.0f} ({hardness.low:.0f} to {hardness.high:.0f})"
    told = "reckoned" if row.reckoned else letters[row.hardness_source]
    return (
        f"| {row.name} | *{row.botanical or 'see above'}* | {row.kind}"
        f" | {density:.0f} {letters[row.density_source]} | {ends} {told} |"
    )


if __name__ == "__main__":
    print("\n".join(lines()))
