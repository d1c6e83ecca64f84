"""The command on side views: chips and rolls, and how they grew."""

import click

from edgetest.cli import root
from edgetest.cli.photo_commands import KnownScale, lines_of, scale_possible, with_doubts
from edgetest.errors import UnusableInput


@root.command("profile", "edgetest profile before.jpg after.jpg --um-per-px 8 --follow")
@root.path_argument("photos", nargs=-1, required=True)
@root.takes(known=KnownScale)
@click.option("--bright-blade", is_flag=True, help="The blade is bright on a dark ground.")
@click.option("--follow", "following", is_flag=True,
              help="Two photographs of one edge: how each chip grew; with --overlay also both "
              "outlines laid together.")  # fmt: skip
@click.option("--shift-um", type=float,
              help="How much further along the second picture a place of the first lies, µm; "
              "else found from the edge's grinding.")  # fmt: skip
@root.overlay_option
@root.as_json
def profile_command(photos, known, bright_blade, following, shift_um, overlay, json_):
    """Chips and rolls along the edge in back-lit side views."""
    from edgetest.study.photos.photo_scales import existing
    from edgetest.study.photos.side_views import follow_side_views, measure_side_view

    blade = "bright" if bright_blade else "dark"
    if following and len(photos) != 2:
        raise UnusableInput(
            f"{len(photos)} photographs to follow", "edgetest profile", "give before and after"
        )
    if shift_um is not None and not following:
        raise UnusableInput("a shift is between two photographs", "--shift-um", "add --follow")
    scale_possible(known.um_per_px)
    results = [
        measure_side_view(existing(photo), known.um_per_px, known.relative_u, blade=blade)
        for photo in photos
    ]
    if overlay is not None:
        from edgetest.report.figures.overlay_files import write_overlays

        write_overlays(results, overlay)
    text = lines_of(results)
    if following:
        grown = follow_side_views(*results, shift_um=shift_um)
        if overlay is not None:
            from edgetest.report.figures.overlay_files import write_following

            before, after = results
            write_following(before, after, grown, overlay)
        said = with_doubts(grown.summary(), grown.doubts)
        root.say(grown.to_dict(), f"{text}\n{said}", json_)
        return
    root.say([result.to_dict() for result in results], text, json_)
