"""Documents and pages whose figures stay blank: most of their seconds go into drawing them.

For tests that read the words beside: a figure is made and keeps its size, so that every page is
filled as it is; only its ink is left out. How figures look is told in `tests/report/figures`.
"""

from edgetest.report.figures import plot_style


def blank(figure):
    """An empty picture of the figure's size."""
    wide, tall = (72 * inches for inches in figure.get_size_inches())
    box = f'width="{wide:g}pt" height="{tall:g}pt" viewBox="0 0 {wide:g} {tall:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box}></svg>'.encode()


def leave_blank(patch):
    """From here on no figure is drawn, in documents and on pages."""
    patch.setattr(plot_style, "_as_svg", blank)
