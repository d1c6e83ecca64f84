"""Which tables and figures belong to a study's answer, as files for other programs?"""

from math import inf
from pathlib import Path

from edgetest.report.documents.chopper_answer_rows import chop_answer_rows
from edgetest.report.figures.chop_figures import plot_chops, plot_depths
from edgetest.report.figures.comparison_figures import plot_comparison, plot_ratio_by_limit
from edgetest.report.figures.figure_titles import groups_of, treatments_of, with_titles
from edgetest.report.figures.plot_style import png_bytes, svg_bytes
from edgetest.report.figures.steel_figures import plot_verdict
from edgetest.report.figures.wear_figures import plot_wear_panel
from edgetest.store.export import csv_to_take_away, xlsx_bytes
from edgetest.store.files import write_atomic
from edgetest.store.tables import Table, read_table
from edgetest.store.workspace import log_path


def frame_texts(frame) -> list[list[str]]:
    """A data frame as heading and rows of texts; what is not known, or has no end, is blank."""
    filled = frame.astype(object).where(frame.notna() & (frame != inf), "")
    return [list(map(str, frame.columns)), *([str(cell) for cell in row] for row in filled.values)]


def answer_tables(result) -> dict[str, list[list[str]]]:
    """Tables of an answer, heading first, by name.

    Parameters
    ----------
    result : StudyResult, ChopResult or SteelResult
    """
    kind = type(result).__name__
    if kind == "StudyResult":
        return {"lives": frame_texts(result.to_frame())}
    if kind == "ChopResult":
        heading = ["blade", "figure", "value", f"{100 * result.report.level:g} % interval"]
        return {"figures": [heading, *chop_answer_rows(result)]}
    chances = [
        [of, title, f"{100 * chance:.1f}"]
        for of, found in (("serves for", result.families()), ("may be", result.explanations()))
        for _, title, chance in found
    ]
    return {"chances": [["kind", "what", "chance, %"], *chances]} if result.told else {}


def answer_figures(result) -> dict:
    """Figures of an answer by name, as they are printed; those that it has data for."""
    kind = type(result).__name__
    if kind == "StudyResult":
        return figures_of_wear(result)
    if kind == "ChopResult":
        report = result.report
        found = {"chops": plot_chops(result).figure} if report.counts else {}
        return found | ({"depths": plot_depths(result).figure} if report.depths else {})
    return {"verdict": plot_verdict(result).figure} if result.told else {}


def figures_of_wear(result):
    """Figures of a comparison by name: wear curves, lives with their ratio, the ratio by limit."""
    if result.study is None:
        return _log_figures(result)
    titled = with_titles(result)
    treatments, found = treatments_of(titled), {}
    if result.has_curves:
        found["wear_curves"] = plot_wear_panel(
            titled.fit.blades, treatments, limit=titled.limit, reading=result.reading,
            readings=titled.readings, order=groups_of(titled),
        )[0].figure  # fmt: skip
    if titled.comparison is not None:
        found["comparison"] = plot_comparison(
            titled.comparison, titled.fit.blades, treatments, reading=result.reading
        )[0].figure
        if len(titled.levels) > 1:
            said = titled.level_words
            found["ratio_by_limit"] = plot_ratio_by_limit(
                titled.levels, limit=titled.limit, reading=result.reading, pair=(said.of, said.to)
            ).figure
    return found


def _log_figures(result):
    """Figures of a log without a study: its heat treatments have no titles."""
    treatments, found = result.treatments(), {}
    numbers = result.comparison.to_dict() if result.comparison is not None else {"groups": ()}
    if result.has_curves:
        found["wear_curves"] = plot_wear_panel(
            result.fit.blades, treatments, limit=result.limit, reading=result.reading,
            order=[one["treatment"] for one in numbers["groups"]],
        )[0].figure  # fmt: skip
    if result.comparison is not None:
        found["comparison"] = plot_comparison(
            numbers, result.fit.blades, treatments, reading=result.reading
        )[0].figure
    return found


def typed_logs(source) -> dict[str, Table]:
    """The tables that a source was read from, as typed: the log, and chops where it has both.

    Parameters
    ----------
    source : Source

    Returns
    -------
    dict of str to Table
        By the name of the file to write: one alone is "log".
    """
    held = {"log": bool(source.log.rows), "chops": bool(source.chops and source.chops.rows)}
    names = [name for name, filled in held.items() if filled]
    if source.path.is_file():
        return {"log": read_table(source.path)} if names else {}
    files = {name: path for name in names if (path := log_path(source.path, name)) is not None}
    return {name if len(files) > 1 else "log": read_table(path) for name, path in files.items()}


def _filled_columns(table: Table) -> list[list[str]]:
    """Heading and rows of a table as typed, without the columns that nobody filled."""
    kept = [name for name in table.columns if any(row.cells.get(name) for row in table.rows)]
    return [kept, *([row.cells.get(name, "") for name in kept] for row in table.rows)]


def take_away(answers, source, folder) -> list[Path]:
    """Write tables as CSV and XLSX, figures as SVG and PNG, into a folder.

    Parameters
    ----------
    answers : sequence of StudyResult, ChopResult or SteelResult
        One of a kind.
    source : Source
        The study or log that it is of; its rows are written as `log`.
    folder : str or Path
        Made if need be; files of the same names give way.

    Returns
    -------
    list of Path
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    tables: dict[str, list[list[str]]] = {}
    for result in answers:
        tables |= answer_tables(result)
    typed = typed_logs(source) if source is not None else {}
    marks = {name: log.delimiter or "," for name, log in typed.items()}
    tables |= {name: _filled_columns(log) for name, log in typed.items()}
    files = []
    for name, records in tables.items():
        text = csv_to_take_away(records, delimiter=marks.get(name, ","))
        files.append(write_atomic(folder / f"{name}.csv", text))
        files.append(write_atomic(folder / f"{name}.xlsx", xlsx_bytes(records, title=name)))
    for result in answers:
        for name, figure in answer_figures(result).items():
            files.append(write_atomic(folder / f"{name}.svg", svg_bytes(figure)))
            files.append(write_atomic(folder / f"{name}.png", png_bytes(figure)))
    return files
