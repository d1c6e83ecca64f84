"""Draw the tape on the ring and the two glints of a crest, for the guide's page on side light.

python -m tests.browser.make_lamp_drawing
"""

import io

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Rectangle, Wedge

from tests.browser.kept_pictures import keep

TAPE, LAMP, STEEL = "#4a4a4a", "#f5b301", "#8aa0b4"
LEAN = np.radians(60.0)


def from_above(ax):
    """The ring of lamps, taped over but for two sectors across the edge."""
    ax.add_patch(Wedge((0, 0), 1.0, 0, 360, width=0.28, color=TAPE))
    for middle in (90, 270):
        ax.add_patch(Wedge((0, 0), 1.0, middle - 20, middle + 20, width=0.28, color=LAMP))
    ax.add_patch(Rectangle((-1.35, -0.035), 2.7, 0.07, color=STEEL))
    ax.annotate("open: 40° wide", (0.16, 0.88), (0.75, 1.15), arrowprops={"arrowstyle": "-"})
    ax.annotate("tape", (-0.75, 0.45), (-1.35, 0.95), arrowprops={"arrowstyle": "-"})
    ax.text(0, -0.19, "edge, and later the needle", ha="center", fontsize=8)
    ax.set(xlim=(-1.5, 1.5), ylim=(-1.25, 1.35), aspect="equal", title="seen through the lens")
    ax.set_axis_off()


def along_the_edge(ax):
    """Two lamps, the crest and its two glints, each half way between lamp and lens."""
    ax.add_patch(Circle((0, 0), 0.4, color=STEEL))
    ax.add_patch(Rectangle((-0.16, -1.0), 0.32, 0.8, color=STEEL))
    glint = 0.4 * np.array([np.sin(LEAN / 2), np.cos(LEAN / 2)])
    for side in (-1, 1):
        place = glint * (side, 1)
        lamp = place + 1.15 * np.array([side * np.sin(LEAN), np.cos(LEAN)])
        ax.plot(*np.array([lamp, place, place + np.array([0, 1.25])]).T, color=LAMP, lw=1.5)
        ax.plot(*lamp, "o", color=LAMP, ms=12)
        ax.plot(*place, "o", color="white", ms=4, mec="black")
    ax.plot([0, 0], [0.45, 1.75], color="black", lw=0.7, ls=":")
    ax.text(0.03, 1.63, "axis of the lens")
    ax.text(0.5, 0.98, "60°")
    ax.annotate("", (-glint[0], 1.45), (glint[0], 1.45), arrowprops={"arrowstyle": "<->"})
    ax.text(-1.5, 1.42, "two lines,\n2 R sin 30° apart")
    ax.set(xlim=(-1.6, 1.6), ylim=(-0.9, 1.8), aspect="equal", title="seen along the edge")
    ax.set_axis_off()


def main():
    """Keep the drawing among the pictures of the guide."""
    figure = Figure(figsize=(8, 3.8), layout="constrained")
    left, right = figure.subplots(1, 2)
    from_above(left)
    along_the_edge(right)
    drawn = io.BytesIO()
    figure.savefig(drawn, dpi=100)
    keep(drawn.getvalue(), "lamps.webp", colours=16)


if __name__ == "__main__":
    main()
