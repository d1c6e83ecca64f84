"""How many micrometres one pixel of a photograph is, and how sure that is."""

from dataclasses import dataclass

import numpy as np

from edgetest.doubts import Doubt, Where, doubt, told
from edgetest.errors import UnusableInput
from edgetest.estimate import plain
from edgetest.photo.linear_light import grey_of
from edgetest.photo.scale.grey_block import runs_together
from edgetest.photo.scale.line_directions import levels, line_directions
from edgetest.photo.scale.pitch import fit_pitch, two_sided_t
from edgetest.photo.scale.ruling_lines import MIN_LINES, LineSet, find_lines, is_even

COARSE_UM = 50.0  # a pitch from here on may be that of the wider of two spacings
UNEVEN = 0.6  # faintest over strongest lines: below this part of the ruling is out of focus
SOFT_FACTOR = 2  # of the interval then: rendered pictures err twice the fit's own share
APART = 0.002  # two axes that differ by less change no width by more than its own interval
BENT = 0.002  # growth of magnification to the corner; less changes no width by 0.1 %
FILE_APART = 0.02  # scales in files are rounded, and of the objective's name, not its own
FINE_PCT = 0.1  # a doubt below this share changes no width by a digit that is shown
MOST_SPACING_OFF = 0.06  # spacing by the ends over the lattice's: one line in 16 miscounted


@dataclass(frozen=True)
class Axis:
    """Scale along one family of lines; rotation is of the normal of the lines."""

    um_per_px: float
    relative_u: float
    rotation_deg: float
    lines_used: int

    def to_dict(self):
        """Plain values for JSON."""
        return {key: plain(value) for key, value in self.__dict__.items()}


@dataclass(frozen=True)
class Scale:
    """Micrometres per pixel with its 95 % interval.

    `rotation_deg` is the direction across the lines, from the picture's rows, positive
    clockwise. `blur_px` is the blur of the lines (standard deviation, pixels) where they
    are wide enough to tell it.
    """

    um_per_px: float
    low: float
    high: float
    relative_u: float
    method: str
    rotation_deg: float | None = None
    lines_used: int | None = None
    doubts: tuple[Doubt, ...] = ()
    blur_px: float | None = None
    axes: tuple[Axis, ...] = ()
    distortion: float = 0.0  # growth of magnification from middle to corner
    mark_every: int | None = None  # long marks stand every so many lines

    def to_dict(self):
        """Plain values for JSON."""
        return {
            "um_per_px": plain(self.um_per_px),
            "low": plain(self.low),
            "high": plain(self.high),
            "rotation_deg": plain(self.rotation_deg),
            "lines_used": self.lines_used,
            "relative_u": plain(self.relative_u),
            "method": self.method,
            "blur_px": plain(self.blur_px),
            "distortion": plain(self.distortion),
            "mark_every": self.mark_every,
            "axes": [axis.to_dict() for axis in self.axes],
            **told(self.doubts),
        }

    def summary(self):
        """The scale in a sentence."""
        share = 100 * (self.high - self.low) / 2 / self.um_per_px
        sure = f"{share:.2g} %" if share >= FINE_PCT else f"less than {FINE_PCT:g} %"
        lines = f" from {self.lines_used} lines" if self.lines_used else ""
        return f"1 pixel = {self.um_per_px:#.4g} µm ± {sure} ({self.method}{lines})"


def scale_of(um_per_px, relative_u, method, *, factor=1.96, **rest):
    """Scale with an interval of `factor` standard uncertainties."""
    half = factor * relative_u * um_per_px
    return Scale(float(um_per_px), float(um_per_px - half), float(um_per_px + half),
                 float(relative_u), method, **rest)  # fmt: skip


def scale_from_number(um_per_px, relative_u=0.0):
    """Scale typed in by hand.

    Parameters
    ----------
    um_per_px : float
        Micrometres per pixel, > 0.
    relative_u : float
        Its relative standard uncertainty, 0 or more.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        If the number is not above zero.
    """
    checked(um_per_px, "um_per_px", "µm per pixel")
    if not 0 <= relative_u < 0.5:
        what = f"relative uncertainty {relative_u:g} is not between 0 and 0.5"
        raise UnusableInput(what, where="relative_u", mend="give 1 % as 0.01")
    return scale_of(um_per_px, relative_u, "number")


def scale_from_marks(a_rc, b_rc, distance_um, *, mark_sd_px=0.5, distance_u_um=0.0):
    """Scale from two marks placed by hand a known distance apart.

    Parameters
    ----------
    a_rc, b_rc : (float, float)
        Row and column of each mark, pixels.
    distance_um : float
        True distance between them, µm.
    mark_sd_px : float
        Standard deviation of placing one mark, pixels, along the line between them.
    distance_u_um : float
        Standard uncertainty of the distance, µm.

    Returns
    -------
    Scale
        `rotation_deg` is the direction from mark to mark.

    Raises
    ------
    UnusableInput
        If the distance is not above zero or the marks lie less than 5 pixels apart.
    """
    checked(distance_um, "distance_um", "µm")
    a, b = np.asarray(a_rc, dtype=float), np.asarray(b_rc, dtype=float)
    length = float(np.hypot(*(b - a)))
    if length < 5:
        what = f"the two marks lie {length:.3g} px apart"
        raise UnusableInput(what, where="marks", mend="set them at least 5 pixels apart")
    relative = np.hypot(np.sqrt(2) * mark_sd_px / length, distance_u_um / distance_um)
    rotation = _half_turn(np.rad2deg(np.arctan2(b[0] - a[0], b[1] - a[1])))
    return scale_of(distance_um / length, relative, "marks", rotation_deg=rotation)


def scale_from_bar(a_rc, b_rc, length_um, *, mark_sd_px=0.5, bar_sd_px=0.5):
    """Scale from a burnt-in scale bar whose ends were marked by hand.

    The program that burnt the bar in rounded its length to whole pixels: `bar_sd_px`
    carries that besides the placing of the marks.

    Parameters
    ----------
    a_rc, b_rc : (float, float)
        Row and column of the bar's ends, pixels.
    length_um : float
        Length written beside the bar, µm.
    mark_sd_px, bar_sd_px : float
        Standard deviations of placing one mark and of the bar's length, pixels.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        As `scale_from_marks`.
    """
    marks = scale_from_marks(a_rc, b_rc, length_um, mark_sd_px=mark_sd_px)
    relative = np.hypot(marks.relative_u, bar_sd_px * marks.um_per_px / length_um)
    return scale_of(marks.um_per_px, relative, "bar", rotation_deg=marks.rotation_deg)


def scale_from_ruling(light, pitch_um, *, um_per_px_in_file=None):
    """Scale from a photograph of a stage micrometer, from all of its lines jointly.

    Parameters
    ----------
    light : Light
        The picture.
    pitch_um : float
        Distance between neighbouring lines, µm.
    um_per_px_in_file : float, optional
        Scale stored in the picture's file, to be checked against the lines.

    Returns
    -------
    Scale

    Raises
    ------
    UnusableInput
        If no evenly spaced straight lines are found, or the picture is no `Light`.
    """
    checked(pitch_um, "pitch_um", "µm")
    grey = grey_of(light)
    if grey.ndim != 2 or min(grey.shape) < 48:
        what = f"the picture is only {' × '.join(map(str, grey.shape))} pixels"
        raise UnusableInput(what, where="picture", mend="use one of at least 48 × 48 pixels")
    families = line_families(grey)
    if not families:
        mend = "photograph a stage micrometer, in focus, with at least four lines in view"
        raise UnusableInput("no ruling of evenly spaced lines found", "picture", mend)
    if any(lines.hidden or runs_together(grey, lines) for lines in families):
        raise UnusableInput(
            "lines of the ruling stand so close that they run into each other, so that the pitch "
            "of those seen is not known",
            where="picture",
            mend="use more magnification or a coarser ruling: neighbouring lines at least 4 blurs "
            "apart, about 6 pixels in a sharp picture",
        )
    if families[0].sections and pitch_um >= COARSE_UM and um_per_px_in_file is None:
        raise UnusableInput(
            f"the ruling has sections of two spacings and {pitch_um:g} µm may be that of either",
            where="pitch_um",
            mend="give the pitch of the closer lines (usually 10 µm), or show one section alone",
        )
    fits = [fit_pitch(lines, grey.shape) for lines in families]
    if fits[0].mark_every == 2:
        raise UnusableInput(
            "every second line is a longer mark, as where only the fifth and tenth lines of a "
            "ruling are seen and those between them are not",
            where="picture",
            mend="use more magnification or a coarser ruling",
        )
    return _join(fits, families, pitch_um, um_per_px_in_file)


def line_families(grey):
    """The ruling's set of lines, and the one square to it where there is a grid."""
    for level in levels(grey):
        found: list[LineSet] = []
        angles = line_directions(level)
        for angle in angles:
            if found and not _square(angle, found[0].angle_deg):
                continue
            lines = find_lines(grey, angle)
            if lines is not None and _is_ruling(lines):
                found.append(lines)
        if found and any(_square(angle, found[0].angle_deg) for angle in angles):
            found = _seen_through(grey, found)
        if len(found) > 1 and found[1].weight > 0.2 * found[0].weight:
            return found[:2]
        if found:
            return found[:1]
    return []


def _square(one_deg, other_deg):
    """Whether two directions stand square to each other."""
    return abs(abs(_half_turn(one_deg - other_deg)) - 90) < 3


def _seen_through(grey, families):
    """The families of a grid where its diagonals were found, which are evenly spaced too."""
    first = families[0]
    turned = [
        lines
        for lines in (find_lines(grey, _half_turn(first.angle_deg + turn)) for turn in (45, -45))
        if lines is not None and _is_ruling(lines)
    ]
    coarser = [x for x in turned if abs(x.pitch_px / first.pitch_px / 2**0.5 - 1) < 0.02]
    return coarser or families


def _is_ruling(lines):
    """Whether the lines are many, straight and even enough to be a ruling."""
    count = np.unique(lines.index).size
    # Spacing by the ends alone must agree with the lattice, else the lines were miscounted.
    order = np.argsort(lines.index)
    tenth = max(1, order.size // 10)
    first, last = order[:tenth], order[-tenth:]
    apart = lines.index[last].mean() - lines.index[first].mean()
    spacing = (lines.across[last].mean() - lines.across[first].mean()) / max(apart, 1e-9)
    return (
        count >= MIN_LINES
        and is_even(lines)
        and abs(spacing / lines.pitch_px - 1) < MOST_SPACING_OFF
    )


def _join(fits, families, pitch_um, um_per_px_in_file):
    """One scale from one or two fitted families of lines."""
    axes = []
    soft = families[0].evenness < UNEVEN
    for fit in fits:
        # Neighbours blurred unlike shift a line.
        factor = two_sided_t(fit.df) / 1.96 * (SOFT_FACTOR if soft else 1)
        axes.append(Axis(pitch_um / fit.pitch_px, fit.relative_u * factor, fit.rotation_deg,
                         fit.lines_used))  # fmt: skip
    first, doubts = axes[0], []
    um_per_px, relative = first.um_per_px, first.relative_u
    if len(axes) == 2:
        um_per_px = (first.um_per_px + axes[1].um_per_px) / 2
        apart = abs(first.um_per_px - axes[1].um_per_px) / um_per_px
        own = np.hypot(first.relative_u, axes[1].relative_u)
        relative = own / 2
        if apart > max(APART, 3 * own):
            doubts.append(doubt("axes_differ", where=Where(value=float(apart))))
            relative = np.hypot(relative, apart / 2)
    count = max(axis.lines_used for axis in axes)
    if count < 10:
        doubts.append(doubt("few_lines", where=Where(value=count)))
    if soft:
        doubts.append(doubt("partly_out_of_focus"))
    if families[0].sections:
        doubts.append(doubt("two_pitches"))
    if abs(fits[0].distortion) > BENT:
        doubts.append(doubt("lens_distortion", where=Where(value=fits[0].distortion)))
    doubts += _pitch_doubts(um_per_px, relative, fits, um_per_px_in_file)
    return scale_of(um_per_px, relative, "ruling", lines_used=count,
                  rotation_deg=first.rotation_deg, doubts=tuple(doubts),
                  blur_px=families[0].blur_px,
                  axes=tuple(axes) if len(axes) == 2 else (),
                  distortion=fits[0].distortion, mark_every=fits[0].mark_every)  # fmt: skip


def _pitch_doubts(um_per_px, relative, fits, um_per_px_in_file):
    """Doubts where the file's scale or the long marks speak against the pitch."""
    wrong = (fits[0].mark_every or 5) % 5
    if um_per_px_in_file:
        ratio = um_per_px / um_per_px_in_file
        if abs(ratio - 1) > max(FILE_APART, 3 * relative):
            yield doubt("file_scale_differs", where=Where(value=um_per_px_in_file))
        wrong = wrong or any(abs(ratio * part - 1) < 0.05 for part in (10, 5, 2, 0.5, 0.2, 0.1))
    if wrong:
        yield doubt("wrong_pitch")


def _half_turn(degrees):
    """Direction of a line, in (-90, 90]."""
    turned = (float(degrees) + 90) % 180 - 90
    return 90.0 if turned == -90.0 else turned


def checked(number, where, unit):
    """Raise unless the number is finite and above zero."""
    if not (np.isfinite(number) and number > 0):
        what = f"{number:g} {unit} is not above zero"
        raise UnusableInput(what, where=where, mend="give a positive number")
