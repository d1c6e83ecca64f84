"""Figures of a tool's swing: the kick that the hand feels, and how the blade rings.

Each takes what `edgetest.chop` found of one tool. Places run from the butt, mm.
"""

import numpy as np

from edgetest.report.figures.plot_style import (
    ACCENT,
    FAINT,
    GREY,
    INK,
    PAPER,
    drawn_in_look,
    new_axes,
    series,
)
from edgetest.report.wording import interval_words

SIZE_IN = (3.5, 2.2)
KICK = series(0).colour


@drawn_in_look
def plot_kick(tool, *, ax=None):
    """What the hand feels of a blow along the blade, as a share of the blow."""
    ax = ax if ax is not None else new_axes(*SIZE_IN)
    kick = tool.balance.reaction
    ax.axhline(0, color=GREY, lw=0.8)
    ax.fill_between(kick.x_mm, kick.low, kick.high, color=KICK, alpha=0.25, lw=0)
    ax.plot(kick.x_mm, kick.value, color=KICK)
    if not tool.balance.percussion_off:
        ax.plot(tool.balance.percussion_mm.value, 0, "D", color=ACCENT, ms=6)
        ax.annotate("no kick", (tool.balance.percussion_mm.value, 0), (0, 9), ha="center",
                    textcoords="offset points", color=ACCENT, fontsize=8.5)  # fmt: skip
    ax.axvline(tool.balance.strike_mm, color=INK, lw=0.8, ls=(0, (2, 2)))
    ax.annotate("strikes here", (tool.balance.strike_mm, kick.value.min()), (-4, 0), ha="right",
                textcoords="offset points", fontsize=8.5)  # fmt: skip
    ax.set(xlabel="place of the blow (mm from the butt)", ylabel="kick at the grip, per blow")
    ax.set_title("Kick at the grip")
    return ax


@drawn_in_look
def plot_ringing(prediction, *, after=None, ax=None):
    """First bending modes across the flat and in the plane of the blow, with their nodes."""
    ax = ax if ax is not None else new_axes(*SIZE_IN)
    for row, (words, ring) in enumerate(
        (("across the flat", prediction.flat), ("in the plane of the blow", prediction.edge))
    ):
        level = -2.6 * row
        ax.plot(ring.mode.x_mm[[0, -1]], [level] * 2, color=FAINT, lw=0.8)
        ax.plot(ring.mode.x_mm, level + ring.mode.shape, color=series(row).colour)
        if after is not None:
            other = (after.flat, after.edge)[row].mode
            sign = np.sign(np.dot(other.shape, np.interp(other.x_mm, ring.mode.x_mm,
                                                         ring.mode.shape)))  # fmt: skip
            ax.plot(other.x_mm, level + sign * other.shape, color=ACCENT, lw=1, ls=(0, (3, 2)))
        for node in ring.mode.nodes_mm:
            ax.plot(node, level, "o", ms=6, mfc=PAPER, mec=INK, mew=1.2)
            ax.annotate(f"{node:.0f}", (node, level), (0, -13), ha="center", fontsize=8,
                        textcoords="offset points")  # fmt: skip
        value = interval_words(
            ring.frequency_hz.value, ring.frequency_hz.low, ring.frequency_hz.high
        )[0]
        ax.text(ring.mode.x_mm[0], level + 1.25, f"{words}, {value} Hz", fontsize=8.5)
    ax.set(xlabel="place (mm from the butt)", ylim=(-4.4, 2.2))
    ax.set_yticks([])
    ax.spines["left"].set_visible(False)
    ax.set_title("How it rings, and its still points")
    return ax
