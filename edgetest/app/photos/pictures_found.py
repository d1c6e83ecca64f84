"""What is found on pictures that belong to no row of a log, made ready to be shown and kept."""

from dataclasses import dataclass, field, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pandas as pd

from edgetest.app.page_words import on_page
from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_result import damage_words
from edgetest.photo.glints.needle_light import Needle, SideSetup
from edgetest.report.figures.crest_overlay import draw_lines
from edgetest.report.figures.following_figure import plot_following, words_of_following
from edgetest.report.figures.overlay import View, draw_overlay
from edgetest.report.figures.overlay_files import write_grey
from edgetest.report.figures.photo_figures import plot_survey, plot_width_along_edge
from edgetest.store.images import UnreadablePicture, read_picture, reduced_jpeg
from edgetest.study.photos.crests import measure_crest, side_light
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.side_views import follow_side_views, measure_side_view
from edgetest.study.photos.surveys import measure_stack, survey

SHOWN_PX = 1200
SIZES = {"value": "value µm", "low": "low µm", "high": "high µm"}


@dataclass(frozen=True)
class Found:
    """One finding: sentences, overlays as (caption, JPEG), tables by name, a figure, files to keep.

    `alt` says what the figure shows, for who cannot see it; `pictures` are kept among a study's
    photographs, `tables` beside its log.
    """

    sentences: tuple[str, ...]
    measured: bool
    doubts: tuple[str, ...] = ()
    overlays: tuple[tuple[str, bytes], ...] = ()
    tables: dict[str, pd.DataFrame] = field(default_factory=dict)
    axes: object = None
    pictures: dict[str, bytes] = field(default_factory=dict)
    alt: str = "Edge width along the edge"


def found_on(way, files, options, progress):
    """What is found on pictures.

    Parameters
    ----------
    way : str
        One of `WAYS`.
    files : tuple of (str, bytes)
        Names and contents, in their order.
    options : dict
        As the way takes them.
    progress : callable(done, total)

    Returns
    -------
    Found

    Raises
    ------
    UnusableInput
        If they cannot be laid together, or what they need is missing.
    """
    with TemporaryDirectory() as place:
        paths = []
        for number, (name, data) in enumerate(files):
            folder = Path(place) / str(number)  # two may have one name
            folder.mkdir()
            paths.append(folder / Path(name).name)
            paths[-1].write_bytes(data)
        return WAYS[way](paths, options, progress)


def _apex(paths, options, progress):
    """The edge width in each."""
    results = []
    for number, path in enumerate(paths, 1):
        results.append(measure_photo(Task(path, **options)))
        progress(number, len(paths))
    rows = [_width_row(result) for result in results]
    only = results[0] if len(results) == 1 and results[0].measured else None
    return Found(
        _sentences(results),
        any(result.measured for result in results),
        _doubts(results),
        _overlays(results),
        {"widths": pd.DataFrame(rows)},
        plot_width_along_edge(only.measurement) if only else None,
    )


def _survey(paths, options, progress):
    """The width along a whole edge."""
    found = survey(paths, **options, progress=progress)
    return Found(
        (found.summary(),),
        True,
        tuple(dict.fromkeys(one.text for one in found.doubts)),
        _overlays(found.frames),
        {"widths": found.strip.to_frame().round(4), "chips": pd.DataFrame(found.chips)},
        plot_survey(found),
    )


def _stack(paths, options, progress):
    """A sharp picture from several heights, and the width in it."""
    result, fused = measure_stack(paths, **options)
    sharp = paths[0].with_name(f"{paths[0].stem}_sharp.png")
    write_grey(fused, sharp)
    drawn = draw_overlay(fused, result.measurement, view=View(width_px=SHOWN_PX), sentence="")
    return Found(
        _sentences([result]),
        result.measured,
        _doubts([result]),
        ((sharp.name, reduced_jpeg(drawn, SHOWN_PX)),),
        {"widths": pd.DataFrame([_width_row(result)])},
        plot_width_along_edge(result.measurement) if result.measured else None,
        {sharp.name: sharp.read_bytes()},
    )


def _crest(paths, options, progress):
    """The crest between two lamps, by its needle: the first picture, the second."""
    options = dict(options)
    needle = Needle(options.pop("diameter_um"), options.pop("tolerance_um"))
    um_per_px, relative_u = options.pop("um_per_px"), options.pop("relative_u")
    setup = SideSetup(um_per_px=um_per_px, scale_relative_u=relative_u, **options)
    result = measure_crest(paths[0], side_light(paths[1], needle, setup))
    found = result.measurement
    drawn = []
    for path, lines in zip(paths, (found.crest, found.needle), strict=True):
        try:
            picture = draw_lines(read_picture(path), lines)
        except UnreadablePicture:
            continue
        drawn.append((path.name, reduced_jpeg(picture, SHOWN_PX)))
    sizes = {"round: radius": found.radius_um, "flat: width": found.flat_um, "W30": found.w30_um}
    rows = [{"size": what, **size.to_dict()} for what, size in sizes.items() if size is not None]
    return Found(
        _sentences([result]),
        result.measured,
        _doubts([result]),
        tuple(drawn),
        {"sizes": pd.DataFrame(rows).rename(columns=lambda name: SIZES.get(name, name))},
    )


def _side(paths, options, progress):
    """Chips and rolls along the edge."""
    results = []
    for number, path in enumerate(paths, 1):
        results.append(measure_side_view(path, **options))
        progress(number, len(paths))
    return _side_found(results)


def _side_found(results, sentences=()):
    measured = [result for result in results if result.measured]
    tables = [result.measurement.to_frame().assign(picture=result.photo) for result in measured]
    table = pd.concat(tables) if tables else pd.DataFrame()
    return Found(
        (*sentences, *_sentences(results)),
        bool(measured),
        _doubts(results),
        _overlays(results),
        {"damage": table} if len(table) else {},
    )


def _follow(paths, options, progress):
    """How each chip grew from the first to the second."""
    seen = {key: value for key, value in options.items() if key != "shift_um"}
    results = [measure_side_view(path, **seen) for path in paths]
    try:
        grown = follow_side_views(*results, shift_um=options.get("shift_um"))
    except UnusableInput as fault:
        if all(result.measured for result in results):
            raise
        return _side_found(results, (f"{fault.what}.",))
    found = _side_found(results, (f"{grown.summary()}.",))
    told = tuple(dict.fromkeys([*(one.text for one in grown.doubts), *found.doubts]))

    def rounded(value):
        return None if value is None else round(value, 1)

    rows = [
        {
            "kind": kind[:-1],
            "state": one.word,
            "at µm": round(one.position_um),
            "depth before µm": round(one.before.depth_um, 1) if one.before else None,
            "depth after µm": round(one.after.depth_um, 1) if one.after else None,
            "growth µm": rounded(one.growth_um),
            "low µm": rounded(one.low_um),
            "high µm": rounded(one.high_um),
        }
        for kind in ("chips", "rolls")
        for one in getattr(grown, kind)
    ]
    tables = {"growth": pd.DataFrame(rows)} if rows else {}
    axes = plot_following(*(result.measurement for result in results), grown)
    return replace(
        found, doubts=told, tables={**tables, **found.tables}, axes=axes,
        alt=words_of_following(grown),
    )  # fmt: skip


def _sentences(results):
    return tuple(f"**{result.photo}**: {result.summary()}" for result in results)


def _doubts(results):
    """Warnings of measured pictures, each once; the reasons of a refusal stand in its sentence."""
    told = [on_page(w["text"]) for r in results if r.measured for w in r.numbers["warnings"]]
    return tuple(dict.fromkeys(told))


def _overlays(results):
    """The pictures that can be read, with what was found on them."""
    drawn = []
    for result in results:
        try:
            picture = read_picture(result.path)
        except UnreadablePicture:
            continue
        measured = result.measurement
        refusal = None if measured is not None else on_page(result.numbers["reasons"][0]["text"])
        pixels = draw_overlay(
            picture, measured, view=View(width_px=SHOWN_PX), sentence="", refusal=refusal
        )
        drawn.append((result.photo, reduced_jpeg(pixels, SHOWN_PX)))
    return tuple(drawn)


def _width_row(result):
    """One picture's width as a row of a table."""
    numbers = result.numbers
    width, facing = numbers["width_um"] or {}, numbers["w30_um"] or {}
    return {
        "picture": result.photo,
        "state": numbers["status"],
        "bright line µm": width.get("mean"),
        "low µm": width.get("low"),
        "high µm": width.get("high"),
        "below µm": numbers["below_um"],
        "W30 from µm": facing.get("low"),
        "W30 to µm": facing.get("high"),
        "damage": damage_words(numbers["chips"]),
        "why": " ".join(on_page(reason["text"]) for reason in numbers["reasons"]),
    }


WAYS = {
    "Edge width": _apex,
    "Whole edge": _survey,
    "Focus stack": _stack,
    "Crest between lamps": _crest,
    "Side view": _side,
    "Before and after": _follow,
}
