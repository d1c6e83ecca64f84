"""How do the panels of many blades stand in rows, and which of them share a page?"""

EDGE, TALL, FOOT, NAME, HEADING = 0.2, 1.35, 0.27, 0.24, 0.3  # inches


def panel_columns(groups, most):
    """Blades in a row of a figure with these groups, `most` at most."""
    return max(3, min(most, max(len(members) for members in groups.values())))


def panel_rows(groups, columns):
    """Heat treatment, whether its name stands above, and the blades of each row."""
    for treatment, members in groups.items():
        for first in range(0, len(members), columns):
            yield treatment, first == 0, members[first : first + columns]


def row_height(heads):
    """Height of a row of panels, inches; `heads` where a heat treatment's name stands above."""
    return FOOT + TALL + NAME + (HEADING if heads else 0.0)


def panel_parts(heat_treatments, tallest_in, columns=4):
    """Slices of blades, heat treatment by heat treatment, whose panels each stay below a height.

    Parameters
    ----------
    heat_treatments : sequence of str
        Of each blade; those of one heat treatment stand together.
    tallest_in : float
    columns : int
        Blades in a row, at most.

    Returns
    -------
    list of slice
    """
    parts, first, tall, in_row = [], 0, EDGE, 0
    for place, name in enumerate(heat_treatments):
        heads = place == first or name != heat_treatments[place - 1]
        if heads or in_row == columns:
            row = row_height(heads)
            if tall + row > tallest_in and place > first:
                parts.append(slice(first, place))
                first, tall, row = place, EDGE, row_height(True)
            tall, in_row = tall + row, 0
        in_row += 1
    return [*parts, slice(first, len(heat_treatments))] if len(heat_treatments) else []
