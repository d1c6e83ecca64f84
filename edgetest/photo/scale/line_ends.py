"""Where in the picture do the lines of a ruling lie that were found?"""

import numpy as np


def line_ends(lines, shape):
    """Both ends of each found line of a ruling, a straight line through its strips.

    Parameters
    ----------
    lines : LineSet
    shape : (int, int)
        Rows and columns of the picture.

    Returns
    -------
    ndarray, shape (n, 2, 2)
        Row and column of one end and of the other, pixels; a line of one strip is left out.
    """
    middle = (np.array(shape, dtype=float) - 1) / 2
    turn = np.deg2rad(lines.angle_deg)
    normal = np.array([np.sin(turn), np.cos(turn)])  # row, column
    down = np.array([np.cos(turn), -np.sin(turn)])
    found = []
    for number in np.unique(lines.index):
        mine = lines.index == number
        if mine.sum() < 2:
            continue
        along, across = lines.along[mine], lines.across[mine]
        lean, offset = np.polyfit(along, across, 1)
        ends = [along.min(), along.max()]
        found.append([middle + (offset + lean * end) * normal + end * down for end in ends])
    return np.array(found).reshape(-1, 2, 2)
