"""Pictures of the guide's pages on plans, wear curves, comparisons and intervals.

Called by make_pictures.py; alone: python -m tests.browser.wear_pictures
"""

import contextlib
import io
import re
import subprocess
import tempfile
from pathlib import Path

import numpy as np
from click.testing import CliRunner
from matplotlib.figure import Figure
from PIL import Image
from scipy.stats import t as student

import edgetest as et
from edgetest.cli import main
from edgetest.cli.root import edgetest
from edgetest.report.figures.plot_style import ACCENT, FAINT, GREY, INK, SERIES, in_look
from tests.browser.kept_pictures import keep

GUIDE = Path(__file__).parents[2] / "edgetest" / "guide"
STORY = GUIDE / "start" / "compare_two_heat_treatments.md"
LIMIT = 12.0
SEED = 7


def keep_figure(figure, name):
    """Write a figure of matplotlib."""
    drawn = io.BytesIO()
    figure.savefig(drawn, format="png", dpi=140)
    keep(drawn.getvalue(), name)


def blank(width=6.4, height=2.9, columns=1, **ways):
    """A figure in the house's look, and its Axes."""
    figure = Figure(figsize=(width, height), layout="constrained")
    return figure, figure.subplots(1, columns, **ways)


def blocks(page, kind):
    """The blocks of code of a page."""
    return re.findall(rf"```{kind}\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL)


def story(folder):
    """The study of the story, made by the story's own commands; returns its folder."""
    new, plan = blocks(STORY, "sh")[:2]
    for line in (new, plan):
        words = line.split()[1:]
        place = words.index("temper_test")
        words[place] = str(folder / "temper_test")
        with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
            main(words)
    study = folder / "temper_test"
    (study / "log.csv").write_text(blocks(STORY, "csv")[0], encoding="utf-8")
    return study


def from_the_story(folder):
    """Curves and first page of the story; its plan's sheet with sealed names."""
    from edgetest.report.documents.comparison_document import comparison_contents
    from edgetest.report.documents.typeset import page_pictures
    from edgetest.report.figures.wear_figures import plot_wear_panel
    from edgetest.store.document_wishes import settings_of

    study = story(folder)
    answer = et.compare(study)
    axes = plot_wear_panel(answer.fit.blades, answer.treatments(), limit=LIMIT, columns=3)
    keep_figure(np.ravel(axes)[0].figure, "story_curves.webp")
    contents = comparison_contents(answer, settings_of(answer.study), day="2026-11-27")
    page = Image.open(io.BytesIO(page_pictures(contents, ppi=110)[0]))
    keep(page.crop((0, 0, page.width, round(0.6 * page.height))), "story_document.webp", 760, 16)
    (study / "log.csv").unlink()
    blind = folder / "blind"
    made = CliRunner().invoke(edgetest, [
        "new", str(blind), "--protocol", "sisal_rope", "--reading", "edge_width_um",
        *(word for n in "123" for word in ("--blade", f"H{n}=hard", "--blade", f"S{n}=soft")),
    ])  # fmt: skip
    assert made.exit_code == 0, made.output
    word = "three odd words\n"
    made = CliRunner().invoke(edgetest, ["plan", str(blind), "--blinded"], input=word + word)
    assert made.exit_code == 0, made.output
    subprocess.run(["pdftoppm", "-r", "80", "-f", "1", "-l", "1", "-png",
                    blind / "bench_sheet.pdf", folder / "sheet"], check=True)  # fmt: skip
    page = Image.open(next(folder.glob("sheet*.png")))
    keep(page.crop((0, 0, page.width, round(0.62 * page.height))), "bench_sheet_blind.webp", 760, 8)


def answers(folder):
    """Lives from a notebook, an answer that cannot tell, and what a notebook draws."""
    from edgetest.report.figures.comparison_figures import plot_lives, plot_ratio

    noted = folder / "notebook.csv"
    page = GUIDE / "how_to" / "use_grades_and_noted_lives.md"
    noted.write_text(blocks(page, "csv")[0], encoding="utf-8")
    keep_figure(et.plot(et.compare(noted)).figure, "noted_lives.webp")

    rows = [row.split(",") for row in blocks(STORY, "csv")[0].splitlines()]
    log = folder / "two_a_side.csv"
    kept = [[*row, "hard" if row[0][0] == "H" else "soft"] for row in rows[1:]
            if row[0] in ("H1", "H2", "S1", "S2")]  # fmt: skip
    lines = [",".join([*rows[0], "heat_treatment"]), *map(",".join, kept)]
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    unsure = et.compare(log, limit=LIMIT)
    assert unsure.comparison.practical.verdict == "cannot_tell"
    keep_figure(plot_ratio(unsure.comparison).figure, "cannot_tell.webp")

    answer = et.compare(story(folder / "again"))
    with in_look():
        figure, (left, right) = blank(8.2, 3.0, 2)
        plot_lives(answer.fit.blades, answer.treatments(), ax=left, reading=answer.reading,
                   groups=answer.comparison.to_dict()["groups"])  # fmt: skip
        et.plot(answer.fit["H1"], ax=right)
        keep_figure(figure, "notebook.webp")


def life(width, fresh=1.4, at=230.0):
    """Cuts at which an even wedge is `width` wide, if it is LIMIT wide after `at`."""
    return at * (width**2 - fresh**2) / (LIMIT**2 - fresh**2)


def _curve(ax, most=420, **look):
    widths = np.linspace(1.4, 17, 200)
    ax.plot(life(widths), widths, **{"color": SERIES[0].colour, **look})
    ax.set(xlim=(-8, most), ylim=(0, 17), xlabel="cuts", ylabel="edge width (µm)")


def limits_and_stages():
    """One curve and two limits; one curve and two ways to choose its stages."""
    with in_look():
        figure, ax = blank()
        _curve(ax)
        for limit in (8, LIMIT):
            ax.axhline(limit, color=ACCENT, lw=1.2)
            ax.plot([life(limit)] * 2, [0, limit], color=GREY, ls=":")
            ax.plot(life(limit), limit, "o", color=INK)
            ax.annotate(
                f"limit {limit:g} µm: {life(limit):.0f} cuts", (life(limit) + 8, limit - 1.2)
            )
        keep_figure(figure, "two_limits.webp")

        figure, both = blank(6.4, 2.9, 2, sharey=True)
        chosen = {
            "doubling stages": (0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 400),
            "stages near the life": (0, 30, 150, 180, 210, 230, 250, 280, 310, 350, 400),
        }
        for ax, (name, cuts) in zip(both, chosen.items(), strict=True):
            _curve(ax)
            widths = np.sqrt(1.4**2 + np.array(cuts) * (LIMIT**2 - 1.4**2) / 230)
            ax.plot(cuts, widths, "o", color=SERIES[1].colour)
            ax.axhline(LIMIT, color=ACCENT, lw=1.2)
            ax.set_title(name)
        both[1].set_ylabel("")
        keep_figure(figure, "stages.webp")


def counted():
    """What readings and blades say; what looking again and again does; what intervals hold."""
    draw = np.random.default_rng(SEED)
    with in_look():
        figure, ax = blank(6.4, 2.2)
        lives = np.sort(200 * np.exp(draw.normal(0, 0.15, 6)))
        ax.plot(lives[2] * np.exp(draw.normal(0, 0.02, 10)), np.full(10, 1) +
                draw.uniform(-0.12, 0.12, 10), "o", color=SERIES[1].colour, alpha=0.8)  # fmt: skip
        ax.plot(lives, np.zeros(6), "D", color=SERIES[0].colour)
        names = ("six blades of\none treatment", "one of them,\nread ten times")
        ax.set(
            yticks=(0, 1), ylim=(-0.5, 1.5), yticklabels=names, xlabel="life in cuts (simulated)"
        )
        keep_figure(figure, "blades_and_readings.webp")

        figure, ax = blank(6.4, 2.6)
        most, studies = 12, 20_000
        both = draw.normal(0, 0.15, (2, studies, most))
        found, shares = np.zeros(studies, bool), []
        for n in range(2, most + 1):
            gap = both[1, :, :n].mean(1) - both[0, :, :n].mean(1)
            pooled = np.sqrt(both[:, :, :n].var(axis=2, ddof=1).sum(0) / n)
            found |= np.abs(gap) > student.ppf(0.975, 2 * n - 2) * pooled
            shares.append(100 * found.mean())
        ax.plot(range(2, most + 1), shares, "o-", color=SERIES[1].colour, label="a look at each")
        ax.axhline(5, color=GREY, ls="--", label="one look")
        ax.set(xlabel="blades of each heat treatment", ylim=(0, 25),
               ylabel="false claims (%)")  # fmt: skip
        ax.legend()
        keep_figure(figure, "peeking.webp")

        figure, ax = blank(6.4, 3.2)
        true = np.log(1.3)
        for place in range(40):
            blades = draw.normal(0, 0.12, (2, 4)) + np.array([[0], [true]])
            middle = blades[1].mean() - blades[0].mean()
            half = student.ppf(0.975, 6) * np.sqrt(blades.var(axis=1, ddof=1).sum() / 4)
            missed = abs(middle - true) > half
            ends = np.exp([middle - half, middle + half])
            ax.plot([place] * 2, ends, color=ACCENT if missed else SERIES[0].colour,
                    lw=3 if missed else 1.4)  # fmt: skip
            ax.plot(place, np.exp(middle), "x" if missed else "o", ms=6 if missed else 3, color=INK)
        ax.axhline(1.3, color=GREY, ls="--")
        ax.annotate("true ratio 1.3", (40.2, 1.3), va="center", annotation_clip=False)
        ax.set(xlabel="simulated tests, four blades of each", ylabel="ratio of lives", xticks=())
        keep_figure(figure, "intervals.webp")


def rolls():
    """Two layouts of blades on rolls."""
    layouts = {"one roll each: rolls are compared": (("H1", "H2", "H3"), ("S1", "S2", "S3")),
               "one of each on every roll": (("H1", "S1"), ("S2", "H2"), ("H3", "S3"))}  # fmt: skip
    with in_look():
        figure, both = blank(6.4, 2.3, 2)
        for ax, (name, layout) in zip(both, layouts.items(), strict=True):
            for row, blades in enumerate(layout):
                ax.barh(-row, len(blades), left=-0.5, height=0.8, color=FAINT)
                ax.text(-0.75, -row, f"roll {row + 1}", ha="right", va="center")
                for place, blade in enumerate(blades):
                    look = SERIES[0 if blade[0] == "H" else 1]
                    ax.plot(place, -row, look.marker, ms=21, color=look.colour)
                    ax.text(place, -row, blade, ha="center", va="center", color="white",
                            weight="bold")  # fmt: skip
            ax.set(xlim=(-1.8, 2.6), ylim=(-2.6, 0.6), title=name)
            ax.axis("off")
        keep_figure(figure, "rolls.webp")


def make_wear_pictures():
    """Draw all of them."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "again").mkdir()
        from_the_story(folder)
        answers(folder)
    limits_and_stages()
    counted()
    rolls()


if __name__ == "__main__":
    make_wear_pictures()
