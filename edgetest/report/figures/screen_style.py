"""In which colours does a figure stand on a light or a dark screen?

On paper the colours are those of `plot_style`; a screen gets the same marks in shades that
stand out from its own background.
"""

import colorsys
import re
from dataclasses import dataclass

from edgetest.report.figures.plot_style import ACCENT, FAINT, GREY, INK, PAPER, SERIES

_HEX = re.compile(rb"#[0-9a-fA-F]{6}\b")
_BEGUN = re.compile(rb"<svg\b[^>]*>")
_FLIPPED = (0.16, 0.8)  # lightness on dark of what is white and of what is black on paper


@dataclass(frozen=True)
class Shades:
    """Colours of a screen; `series` in the order of `plot_style.SERIES`."""

    ink: str
    grey: str
    faint: str
    paper: str
    accent: str
    series: tuple[str, ...]

    def of(self, colour):
        """The shade that one of the house's colours has here."""
        return _pairs(self)[colour.lower()]


# Contrast with the background (WCAG 2): every series at least 3.1, as a mark must have (3.0);
# paper's own third and fifth colour have 2.4 and 1.6 on white, enough beside a shape in print.
LIGHT = Shades(
    INK, GREY, FAINT, PAPER, ACCENT,
    ("#14476b", "#d9762b", "#2f8f78", "#6b2450", "#9a7d12", "#6f7d88"),
)  # fmt: skip
# 7.6 and more for the series, 7.1 for the accent, 9.2 for grey words.
DARK = Shades(
    "#eef1f2", "#b3bcc2", "#3d474e", "#14181b", "#ec8a5f",
    ("#6fb4e8", "#f0a05a", "#63cdb0", "#dd92c0", "#ecd77c", "#aab7c1"),
)  # fmt: skip


# A figure that the browser draws names its colours; the page's style sheet says what they are.
NAMED = Shades(
    ink="var(--figure-ink)",
    grey="var(--figure-grey)",
    faint="var(--figure-faint)",
    paper="var(--figure-paper)",
    accent="var(--figure-accent)",
    series=tuple(f"var(--figure-series-{n})" for n in range(len(SERIES))),
)


def style_of_names(dark):
    """The style sheet's lines that say what the colours of `NAMED` are.

    Parameters
    ----------
    dark : bool
        How the screen was when the page was made; a browser that can follows it from there on.
    """
    names = [name.removeprefix("var(").removesuffix(")") for name in _all(NAMED)]
    pairs = list(zip(names, _all(LIGHT), _all(DARK), strict=True))
    now = " ".join(f"{name}: {on if dark else off};" for name, off, on in pairs)
    both = " ".join(f"{name}: light-dark({off}, {on});" for name, off, on in pairs)
    follows = "@supports (color: light-dark(red, red))"
    return f".stApp {{ {now} }} {follows} {{ .stApp {{ {both} }} }}"


def _all(here):
    """Colours in the order of the names."""
    return (here.ink, here.grey, here.faint, here.paper, here.accent, *here.series)


def on_screen(svg):
    """A figure that was drawn for paper, in the colours of its screen, light or dark.

    It follows the screen by itself: a browser tells a picture the scheme of the page round it.

    Parameters
    ----------
    svg : bytes

    Returns
    -------
    bytes
        Pictures inside it are left as they are; a colour that is none of the house's changes
        from light to dark, hue kept.
    """
    known = _pairs(DARK)
    names: dict[str, str] = {}

    def named(found):
        colour = found[0].decode().lower()
        return b"var(--%s)" % names.setdefault(colour, f"c{len(names)}").encode()

    drawn = _HEX.sub(named, svg)
    light = "".join(f"--{name}:{colour};" for colour, name in names.items())
    dark = "".join(f"--{name}:{known.get(c) or _flipped(c)};" for c, name in names.items())
    style = f"<style>svg{{{light}}}@media (prefers-color-scheme:dark){{svg{{{dark}}}}}</style>"
    return _BEGUN.sub(lambda begun: begun[0] + style.encode(), drawn, count=1)


def _pairs(here):
    """Colours of the paper and a screen's own."""
    of_paper = (INK, GREY, FAINT, PAPER, ACCENT, *(look.colour for look in SERIES))
    return dict(zip(of_paper, _all(here), strict=True))


def _flipped(colour):
    """A colour with light and dark exchanged."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    hue, lightness, strength = colorsys.rgb_to_hls(red, green, blue)
    low, high = _FLIPPED
    parts = colorsys.hls_to_rgb(hue, high - (high - low) * lightness, strength)
    return "#" + "".join(f"{round(255 * part):02x}" for part in parts)
