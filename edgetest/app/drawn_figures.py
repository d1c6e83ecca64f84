"""Is this figure drawn already: in this server's memory, or on disk from an earlier start?"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgetest.app.open_study import stamp
from edgetest.app.remember import kept_or_made, remembered
from edgetest.report.figures.plot_style import (
    NARROW_IN,
    narrow_svg_bytes,
    png_bytes,
    screen_svg_bytes,
    svg_bytes,
)

MOST = 60  # figures in memory; one takes 20 to 300 kB


@dataclass(frozen=True)
class DrawnFigure:
    """A figure as SVG, wide and narrow, and how many inches the wide one takes."""

    wide_svg: bytes
    narrow_svg: bytes
    width_in: float


@dataclass(frozen=True)
class Drawing:
    """A figure that is drawn when nobody has drawn it before.

    Parameters
    ----------
    make : callable
        Returns the matplotlib Figure.
    folder : Path
        The study that it shows.
    asked : object
        What decides the figure besides the study's files; its `repr` is taken.
    narrow : callable, optional
        Returns the figure as it is drawn for a phone, `NARROW_IN` wide, where laying the wide
        one out anew is not enough.
    """

    make: Callable[[], Any]
    folder: Path
    asked: Hashable = ()
    narrow: Callable[[], Any] | None = None

    def drawn(self, name: str) -> DrawnFigure:
        """The figure under its name, drawn once as long as its study stays as it is."""
        asked = (name, repr(self.asked))
        made = kept_or_made("figure", self.folder, asked, lambda _: self._anew())
        key = (str(self.folder), stamp(self.folder), asked)
        return remembered("figure", key, lambda: made(None), most=MOST)

    def _anew(self) -> DrawnFigure:
        return drawn_anew(self.make(), self.narrow() if self.narrow is not None else None)

    def svg(self) -> bytes:
        """The figure as it is on paper, drawn when it is asked for."""
        return svg_bytes(self.make())

    def png(self) -> bytes:
        """The figure for a chat, drawn when it is asked for."""
        return png_bytes(self.make())


def drawn_anew(figure: Any, narrow: Any = None) -> DrawnFigure:
    """A matplotlib figure drawn wide and narrow; `narrow` is its own figure for a phone."""
    wide = screen_svg_bytes(figure)
    slim = narrow_svg_bytes(figure, NARROW_IN) if narrow is None else screen_svg_bytes(narrow)
    return DrawnFigure(wide, slim, float(figure.get_figwidth()))
