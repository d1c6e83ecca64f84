"""Photographs of a stage micrometer with known scale, for tests and sample runs."""

import cv2
import numpy as np

from edgetest.photo.render.camera import expose

SHORT, MEDIUM, LONG = 0.55, 0.75, 1.0  # line lengths as shares of the long marks


def render_ruling(
    *,
    shape=(960, 1280),
    um_per_px=1.0,
    pitch_um=10.0,
    lines=101,
    rotation_deg=0.0,
    line_share=0.2,
    line_length_px=None,
    marks=(5, 10),
    divided=None,
    grid=False,
    bright=False,
    contrast=0.75,
    uneven=0.0,
    dust=0,
    numerals=False,
    jitter_um=0.0,
    missing=0.0,
    distortion=0.0,
    offset_px=(0.0, 0.0),
    rng=None,
    **camera,
):
    """Stage micrometer in the picture of a camera (`camera` goes to `camera.expose`).

    Parameters
    ----------
    shape : (int, int)
        Rows and columns.
    um_per_px, pitch_um : float
        True scale at the middle of the picture, and the spacing of the lines, µm.
    lines : int
        Lines of the ruling; those outside the picture are not seen.
    rotation_deg : float
        From the picture's rows to the direction across the lines, positive clockwise.
    line_share : float
        Width of a line as a share of the pitch.
    line_length_px : float, optional
        Length of the long marks; None runs the lines through the picture.
    marks : tuple of int
        Every how many lines the medium and the long marks stand (0 = all lines long).
    divided : (int, int), optional
        Only between these lines (counted from the middle) does every line stand; outside
        only every tenth does, as where one part of a coarse ruling is divided finely.
    grid : bool
        A second set of lines square to the first.
    bright : bool
        Bright lines on dark ground.
    contrast, uneven : float
        Line against ground; share of light lost from one side of the picture to the other.
    dust : int
        Number of dark specks.
    numerals : bool
        Numbers beside the long marks.
    jitter_um : float
        Standard deviation of each line's own place, µm.
    missing : float
        Share of the lines left out.
    distortion : float
        Growth of the local magnification from the middle to the corner (0.01 = 1 %).
    offset_px : (float, float)
        Where the middle line passes the picture's centre: (across, along), pixels.
    rng : numpy.random.Generator
        For dust, jitter, missing lines and the camera's noise.

    Returns
    -------
    (ndarray of uint8 or uint16, dict)
        The picture and its truth (plain numbers).
    """
    rng = np.random.default_rng(0) if rng is None else rng
    rows, cols = shape
    y, x = np.mgrid[0:rows, 0:cols].astype(np.float32)
    y -= (rows - 1) / 2
    x -= (cols - 1) / 2
    if distortion:
        # Local magnification along the radius is 1 + distortion at the corner.
        corner2 = (rows**2 + cols**2) / 4
        shrink = 1 / (1 + distortion / 3 * (x * x + y * y) / corner2)
        x, y = x * shrink, y * shrink
    angle = np.deg2rad(rotation_deg)
    across = x * np.cos(angle) + y * np.sin(angle) - offset_px[0]
    along = -x * np.sin(angle) + y * np.cos(angle) - offset_px[1]
    pitch_px = pitch_um / um_per_px
    ink, visible = _lines(across, along, pitch_px, lines, line_share, line_length_px, marks,
                          jitter_um / um_per_px, missing, rng, divided)  # fmt: skip
    if grid:
        other, _ = _lines(along, across, pitch_px, lines, line_share, line_length_px, marks,
                          jitter_um / um_per_px, missing, rng)  # fmt: skip
        ink = np.maximum(ink, other)
    if numerals and line_length_px:
        _numerals(ink, angle, pitch_px, lines, line_length_px, offset_px)
    light = 0.85 * ((1 - contrast) + contrast * ink if bright else 1 - contrast * ink)
    if uneven:
        turn = rng.uniform(0, 2 * np.pi)
        ramp = (x * np.cos(turn) / cols + y * np.sin(turn) / rows) * 1.4
        light = light * (1 - uneven * (0.5 + 0.5 * np.clip(2 * ramp, -1, 1)))
    for _ in range(dust):
        where = (int(rng.uniform(0, cols)), int(rng.uniform(0, rows)))
        cv2.circle(light, where, int(rng.uniform(2, 9)), float(rng.uniform(0.1, 0.5)), -1)
    picture = expose(light.astype(np.float32), rng=rng, **camera)
    truth = {
        "um_per_px": float(um_per_px),
        "rotation_deg": float(rotation_deg),
        "pitch_um": float(pitch_um),
        "pitch_px": float(pitch_px),
        "lines_visible": int(visible),
        "distortion": float(distortion),
    }
    return picture, truth


def _coverage(distance, half):
    """Share of a pixel's width within `half` of a line, by its distance to the line, pixels."""
    return np.clip(half + 0.5 - np.abs(distance), 0, 1) if half >= 0.5 else (
        np.clip(np.minimum(distance + half, 0.5) - np.maximum(distance - half, -0.5), 0, 1)
    )  # fmt: skip


def _lines(
    across, along, pitch_px, lines, share, length_px, marks, jitter_px, missing, rng, divided=None
):
    """Ink (0..1) of one set of lines, and how many of them cross the picture."""
    half_count = (lines - 1) // 2
    index = np.rint(across / pitch_px)
    shift = rng.normal(0, jitter_px, lines).astype(np.float32) if jitter_px else np.zeros(lines)
    kept = rng.uniform(size=lines) >= missing
    if divided is not None:
        number = np.arange(lines) - half_count
        kept &= ((number >= divided[0]) & (number <= divided[1])) | (number % 10 == 0)
    inside = np.abs(index) <= half_count
    place = np.clip(index + half_count, 0, lines - 1).astype(int)
    ink = _coverage(across - index * pitch_px - shift[place], share * pitch_px / 2)
    ink = np.where(inside & kept[place], ink, 0)
    if length_px:
        half_length = np.full(across.shape, length_px * SHORT / 2, np.float32)
        sizes = (MEDIUM, LONG)[-len(marks) :] if marks else ()
        for every, size in zip(marks, sizes, strict=True):
            half_length[np.mod(index, every) == 0] = length_px * size / 2
        if not marks:
            half_length[:] = length_px / 2
        # All lines stand on one base line, as they are ruled.
        low = -length_px / 2
        ink = ink * np.clip(along - low + 0.5, 0, 1) * np.clip(low + 2 * half_length - along, 0, 1)
    seen = np.unique(place[inside & kept[place]])
    return ink.astype(np.float32), seen.size


def _numerals(ink, angle, pitch_px, lines, length_px, offset_px):
    """Numbers past the ends of every tenth line."""
    rows, cols = ink.shape
    canvas = np.zeros(ink.shape, np.uint8)
    size = float(np.clip(length_px / 250, 0.4, 3))
    for index in range(-(lines // 20), lines // 20 + 1):
        across = index * 10 * pitch_px + offset_px[0]
        along = length_px / 2 + 14 * size + offset_px[1]
        x = (cols - 1) / 2 + across * np.cos(angle) - along * np.sin(angle)
        y = (rows - 1) / 2 + across * np.sin(angle) + along * np.cos(angle)
        text, font = str(abs(index) * 10), cv2.FONT_HERSHEY_SIMPLEX
        thick = max(1, round(2 * size))
        where = (round(x - 9 * size), round(y + 9 * size))
        cv2.putText(canvas, text, where, font, size, 255, thick, cv2.LINE_AA)
    np.maximum(ink, canvas.astype(np.float32) / 255, out=ink)
