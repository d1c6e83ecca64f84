"""How long the blades lasted, where no curve was fitted: grades, pass and fail, noted lives."""

from edgetest.report.documents.blocks import section, table
from edgetest.report.documents.lives_pictures import blade_pictures
from edgetest.report.figures.figure_titles import CONTROL, treatments_of
from edgetest.report.letters import breakable
from edgetest.report.wording import life_interval
from edgetest.study.wear.left_out_rows import excluded_blades

COLUMNS = (
    ("Heat treatment and blade", "left", 1.6),
    ("Life, cuts", "right", "auto"),
    ("Interval", "right", "auto"),
    ("Remarks", "left", 1.2),
)


def lives_section(result, pictures):
    """The lives of a study's runs as a table, under their heat treatments.

    Parameters
    ----------
    result : Titled
        Of a study whose `fit` are `RunLives`.
    pictures : dict
        Takes the files of figures.

    Returns
    -------
    dict
        A section of the document.
    """
    groups = {}
    if result.comparison:
        groups = {group["treatment"]: group for group in result.comparison["groups"]}
    rows: list[list[str]] = []
    bold: list[int] = []
    names = treatments_of(result)
    for treatment in dict.fromkeys(names):
        members = [one for one, its in zip(result.fit.blades, names, strict=True)
                   if its == treatment]  # fmt: skip
        what = "run" if treatment == CONTROL else "blade"
        bold.append(len(rows))
        head = treatment_head(groups, treatment, len(members))
        rows.append([*head, _counted(members, result, what)])
        rows += [_row(one) for one in members]
        rows += left_out_rows(result, treatment, ("–", ""))
    ends = f" ends where the blade falls below “{result.fit.ends}”" if result.fit.ends else ""
    caption = (
        f"Life of each blade{' and run' if _several(result) else ''}{ends}: known, or somewhere "
        "between two numbers. Shaded lines are the heat treatments, with the interval of their "
        "median life."
    )
    drawn = blade_pictures(result, pictures) if result.comparison else []
    rows_ = table(COLUMNS, rows, caption=caption, bold=bold)
    return section("How long the blades lasted", rows_, *drawn)


def treatment_head(groups, treatment, runs):
    """What the shaded line of a heat treatment begins with; one blade's life is none of its.

    Parameters
    ----------
    groups : dict of str to dict
        `Group.to_dict` by heat treatment; of those that are compared.
    treatment : str
    runs : int
        How many lines of blades and their runs stand beneath.

    Returns
    -------
    list of str
        Name, life, interval; of one blade with several runs the name says whose they are.
    """
    name, group = breakable(treatment or "Blades"), groups.get(treatment)
    if group is None or ((alone := len(group["blades"]) == 1) and runs == 1):
        return [name, "", ""]
    if alone and group["blades"] != [treatment]:
        name = breakable(f"{treatment}: {group['blades'][0]}")
    return [name, *life_interval(group["life"])]


def left_out_rows(result, treatment, empty):
    """A row of the table for each blade of a heat treatment that is left out whole, with why."""
    mine = [each for each in result.readings if each.heat_treatment == treatment]
    return [
        [breakable(blade), *empty, f"left out: {why}"]
        for blade, why in excluded_blades(mine).items()
    ]


def _row(one):
    """One run: its life, and what its checks leave open."""
    words = one.life.words() if one.life else "no life"
    remark = "stopped before it was dull" if one.life and one.life.censored else ""
    if one.life and one.life.low == 0:
        remark = "dull at its first check"
    if one.came_back:
        remark = f"failed at {one.came_back[0]:g} cuts, passed again"
    return [breakable(one.blade), words, "", remark]


def _several(result):
    """Whether a blade has several runs."""
    blades = {each.run: each.blade for each in result.readings if not each.excluded}
    return len(set(blades.values())) < len(result.fit.blades)


def _counted(members, result, what):
    """How many blades a heat treatment has."""
    blade = {each.run: each.blade for each in result.readings}
    count = len(members) if what == "run" else len({blade[one.blade] for one in members})
    return f"{count} {what}{'s' if count != 1 else ''}"
