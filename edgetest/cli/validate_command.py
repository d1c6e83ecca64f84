"""The command that holds the program to references from elsewhere: validate."""

import click

from edgetest.cli import root


@root.command("validate", "edgetest validate my_references")
@click.argument("folder", type=root.PATH)
@root.workers_option
@root.as_json
def validate_command(folder, workers, json_):
    """Score photographs, hardness blocks and coupons of known truth against what is stated.

    FOLDER holds validation.toml and the photographs that it names; the guide's page *Help us
    check* shows how to make one. Of each claim: how many references the stated 95 % intervals
    hold, with the exact binomial interval of that share; the mean difference; the limits of
    agreement; what may be said from so few. A set-up whose widths all lie off by one factor is
    named: a wrong scale does that.
    """
    from edgetest.study.validation.validate_set import validate_set

    bar = None if json_ else root.Bar("measuring")
    found = validate_set(folder, workers=workers, progress=bar)
    root.say(found.to_dict(), found.summary(), json_)
