"""The command that reads all studies of a shop together: shop-book."""

import click

from edgetest.cli import root


@root.command("shop-book", "edgetest shop-book my_studies\n"
              "  edgetest shop-book my_studies --words \"plough disc 260\"")  # fmt: skip
@click.argument("folder", type=root.PATH)
@click.option("--words", default="", help="Only studies whose facts hold all of these words.")
@click.option(
    "--also",
    type=root.PATH,
    help="Table of results whose logs are gone: study, arm, against, ratio, low, high.",
)
@click.option("--invented", is_flag=True, help="Take studies of invented data too.")
@click.option("--level", type=root.COVERAGE, default=0.95, show_default=True,
              help="Coverage of the intervals.")  # fmt: skip
@root.as_json
def shop_book_command(folder, words, also, invented, level, json_):
    """What all studies of a folder say together of each steel and heat treatment.

    Lives relative to the common control blade, each protocol apart, with intervals and what each
    study weighs. A study that did not change since it was last read is not read again.

    JSON: {studies, pools: [{protocol, reading, studies, anchor, arms: [{arm, against, ratio,
    next_low, next_high, studies, shares}], pairs (as arms), blade_sd, blade_df, batch_sd,
    batch_why, between_sd, drifts, next_studies, doubts}], left_out, found: [{name, title, date,
    maker, protocol, fault}]}.
    """
    from edgetest.store.known_results import read_known_results
    from edgetest.study.shop.shop_memory import book_of

    progress = None if json_ else root.Bar("reading studies")
    results = read_known_results(also) if also else ()
    book, found = book_of(folder, words.split(), results, invented=invented, level=level,
                          progress=progress)  # fmt: skip
    facts = ("name", "title", "date", "maker", "protocol", "fault")
    listed = [{name: getattr(study, name) for name in facts} for study in found]
    lines = [book.summary()]
    if words:
        told = ("title", "date", "maker", "protocol")
        held = [f"  {each['name']}: {', '.join(filter(None, map(each.get, told)))}"
                for each in listed]  # fmt: skip
        lines = [f"Studies that hold {words}:", *(held or ["  none"]), "", *lines]
    root.say(book.to_dict() | {"found": listed}, "\n".join(lines), json_)
