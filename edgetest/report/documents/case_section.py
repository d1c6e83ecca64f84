"""How deep and how hard is the case of each packed section, as a document says it?"""

from edgetest.doubts import each_once
from edgetest.estimate import chance
from edgetest.report.documents.blocks import bullets, section, table
from edgetest.steel.case_result import SURE, CaseResult

# About how the answer was worked out: the document's own list of doubts has room for them.
NOT_HERE = ("diffusivity_spread", "carbon_outside_table")
COLUMNS = (
    ("Section", "left", "auto"),
    ("hard to, mm", "right", "auto"),
    ("least carbon left, %", "right", "auto"),
    ("as quenched, HRC", "right", "auto"),
    ("tempered, HRC", "right", "auto"),
    ("austenite, %", "right", "auto"),
    ("faces hard", "right", "auto"),
)


def case_section(cases: tuple[tuple[str, CaseResult], ...]):
    """The case of each section with its mark after the temper, and what speaks against it.

    Parameters
    ----------
    cases : tuple of (str, CaseResult)
        Name and case of each section of the pack.

    Returns
    -------
    list
        One section; none where nothing was packed.
    """
    if not cases:
        return []
    case = cases[0][1]
    caption = (
        f"Hard is {case.wanted.words()}, which asks {case.wanted.quenched_hrc:.0f} HRC and "
        f"{case.target_pct:.2f} % carbon in the quench. Hardness at the softest place left, "
        "retained austenite where most stays."
    )
    said = [*case.notes(), *(one.text for one in _told(cases))]
    rows = [_row(name, each) for name, each in cases]
    return [section("The case", table(COLUMNS, rows, caption=caption, close=True), bullets(said))]


def codes_told(cases):
    """Codes of the doubts that the section tells, so that no other place says them again."""
    return tuple(one.code for one in _told(cases))


def _told(cases):
    doubts = each_once(one for _, case in cases for one in case.doubts)
    return [one for one in doubts if one.code not in NOT_HERE]


def _row(name, case):
    """A section as a row; numbers as the command says them, without their unit."""
    found = (
        case.edge_carbon_pct, case.edge_hardness_hrc, case.edge_tempered_hrc,
        case.retained_austenite_pct,
    )  # fmt: skip
    numbers = [each.summary().removesuffix(each.unit).rstrip() for each in found]
    through = case.probability_through >= SURE
    depth = case.case_depth_mm.summary().removesuffix(" mm")
    return [
        name,
        "right through" if through else depth,
        *numbers,
        chance(case.probability_faces_hard),
    ]
