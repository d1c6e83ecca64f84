"""Where in the picture does a place of the edge lie? The line of the edge through a view."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class View:
    """A picture of ``rows`` by ``cols`` pixels of ``um_per_px``; the edge before it is turned over.

    The place ``middle_um`` of the edge lies in the middle column at ``height`` (share of rows from
    the top); there the edge is turned by ``turn_deg``. ``bend`` is its curvature, degrees per mm,
    and the change of that per mm.
    """

    cols: int
    rows: int
    um_per_px: float
    middle_um: float
    height: float = 0.45
    turn_deg: float = 0.0
    bend: tuple[float, float] = (0.0, 0.0)

    def to_px(self, points):
        """Points x, y in pixels (pixel 0 from 0 to 1) of places and heights, µm, (n, 2)."""
        along, high = np.asarray(points, float).T
        x, y, heading = self._line(along)
        x, y = x + high * np.sin(heading), y - high * np.cos(heading)
        return np.stack(
            [self.cols / 2 + x / self.um_per_px, self.height * self.rows + y / self.um_per_px], 1
        )

    def of_px(self, x, y):
        """About where on the edge pixels lie: place and height, µm, of arrays x, y."""
        reach = 1.3 * self.cols * self.um_per_px
        along = self.middle_um + np.linspace(-reach, reach, 4001)
        line_x, line_y, heading = self._line(along)
        right = (np.asarray(x) - self.cols / 2) * self.um_per_px
        down = (np.asarray(y) - self.height * self.rows) * self.um_per_px
        lean = np.interp(right, line_x, heading)
        high = (np.interp(right, line_x, line_y) - down) * np.cos(lean)
        # The foot of the normal lies where a step along the line leads back under the pixel.
        return np.interp(right - high * np.sin(lean), line_x, along), high

    def _line(self, along):
        """Middle of the line, x and y in µm from the middle of the picture, and its heading."""
        far = (np.asarray(along, float) - self.middle_um) / 1000.0
        reach = max(np.abs(far).max(), 1e-6) * 1.001
        grid = np.linspace(-reach, reach, 8001)
        heading = np.radians(self.turn_deg + self.bend[0] * grid + self.bend[1] * grid**2 / 2)
        step = (grid[1] - grid[0]) * 1000.0
        found = []
        for part in (np.cos(heading), np.sin(heading)):
            run = np.concatenate([[0.0], np.cumsum((part[1:] + part[:-1]) / 2) * step])
            found.append(np.interp(far, grid, run - np.interp(0.0, grid, run)))
        return found[0], found[1], np.interp(far, grid, heading)

    def stretch_um(self, low_um, high_um, inset_px=0.0):
        """First and last place of the line inside the picture, between two places, µm."""
        at = np.linspace(low_um, high_um, 20001)
        x, y = self.to_px(np.stack([at, np.zeros_like(at)], 1)).T
        inside = (x > inset_px) & (x < self.cols - inset_px)
        inside &= (y > inset_px) & (y < self.rows - inset_px)
        seen = at[inside]
        return float(seen[0]), float(seen[-1])
