"""What every command shares: the group, examples in help, JSON, progress, exit codes."""

import json
import os
import re
import sys
from dataclasses import dataclass, field, fields
from functools import wraps
from inspect import cleandoc
from pathlib import Path
from textwrap import indent

import click

from edgetest.errors import UnusableInput
from edgetest.store.files import disk_fault
from edgetest.store.unseen import shown_whole

# The matrices here are small: threads of linear algebra mostly wait for each other (a side view
# took 204 ms of two cores with them, 44 ms of one without). Set before numpy is loaded; what the
# user has set stays.
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OMP_NUM_THREADS")
_NO_NUMBER = {
    "float": "is not a number: write digits with a decimal point, such as 0.4.",
    "integer": "is not a whole number: write digits only, such as 3.",
}
MOST_FAULTS = 5  # told where `check` can list them all
CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


class _Told(click.Group):
    """A group whose help says the first sentence of each command whole."""

    def format_commands(self, ctx, formatter):
        """Name and first sentence of every command."""
        rows = [(name, self.commands[name].get_short_help_str(1000))
                for name in self.list_commands(ctx)]  # fmt: skip
        with formatter.section("Commands"):
            formatter.write_dl(rows)


@click.group(cls=_Told, context_settings=CONTEXT)
@click.version_option(package_name="edgetest", prog_name="edgetest")
@click.option("--debug", is_flag=True, help="Show the program's own traceback of a fault.")
def edgetest(debug):
    """Tell, with honest numbers, whether a blade holds its edge.

    \b
    Start with:  edgetest demo
    Your own:    edgetest new my_study --protocol sisal_rope --blade H1 --blade S1
    A chopper:   edgetest new my_hatchet --protocol billet_chop --blade H1 --control C1
    A steel:     edgetest new my_discs --steel-for "hedging tool"
    """  # noqa: D301 - click wants the real \b


class Within(click.FloatRange):
    """A number within bounds; click's own range lets nan and endless numbers through."""

    def convert(self, value, param, ctx):
        """The number, or a fault that names the option."""
        number = super().convert(value, param, ctx)
        if number != number:
            self.fail("nan is no number.", param, ctx)
        if abs(number) == float("inf"):
            self.fail(f"{value} is endless: give a number.", param, ctx)
        return number


ABOVE_ZERO = Within(0, min_open=True)
COVERAGE = Within(0.5, 1, min_open=True, max_open=True)
PATH = click.Path(path_type=Path)
SHARE = Within(0, 1, max_open=True)


def command(name, example):
    """Make a command whose help ends with an example."""

    def wrap(function):
        function.__doc__ = f"{cleandoc(function.__doc__)}\n\n\b\nExample:\n  {example}\n"
        return edgetest.command(name, context_settings=CONTEXT)(function)

    return wrap


def option(words, kind=None, *, name=None, **more):
    """A field of a record that holds what was given for an option; see `takes`.

    The option is called as the field if it has no `name`; a default is shown in its help.
    """
    return field(
        metadata={"name": name, "help": words, "type": kind, "show_default": "default" in more}
        | more
    )


def option_name(field_):
    """What the option made from a record's field is called."""
    return field_.metadata["name"] or f"--{field_.name.replace('_', '-')}"


def takes(**records):
    """Give a command the options of records, each handed over as one argument of its name.

    Parameters
    ----------
    **records : type
        By the argument's name, a frozen dataclass whose fields are made by `option`.
    """

    def wrap(function):
        @wraps(function)
        def gathered(**given):
            for name, record in records.items():
                given[name] = record(**{each.name: given.pop(each.name) for each in fields(record)})
            return function(**given)

        every = [each for record in records.values() for each in fields(record)]
        for each in reversed(every):  # click lists the decorator nearest to the function last
            more = dict(each.metadata)
            del more["name"]
            click.option(option_name(each), each.name, **more)(gathered)
        return gathered

    return wrap


workers_option = click.option(
    "--workers", type=int, default=2, show_default=True, help="Processes."
)
overlay_option = click.option("--overlay", type=PATH, help="Folder for overlay pictures.")
as_json = click.option("--json", "json_", is_flag=True, help="Print one JSON document.")


def say(document, text, json_):
    """The JSON document or the text, whichever was asked for; nothing else on stdout.

    A letter of the text that is not seen is shown by its number: no name turns what stands behind
    it round, and none says anything to the terminal (ECMA-48, control functions).
    """
    if json_:
        click.echo(json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False))
    else:
        click.echo(shown_whole(text))


def say_each(documents, lines, json_):
    """As `say` prints a list or its lines, but one by one: of ten thousand none waits for all."""
    if not json_:
        for line in lines:
            say(None, line, json_)
        return
    before = "["
    for document in documents:
        text = json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False)
        click.echo(f"{before}\n{indent(text, ' ')}", nl=False)
        before = ","
    click.echo("[]" if before == "[" else "\n]")


@dataclass(frozen=True)
class Page:
    """How a document is to be printed; what is None is the study's own wish."""

    paper: str | None = option(None, click.Choice(["a4", "us-letter"]))
    units: str | None = option(None, click.Choice(["metric", "inch", "both"]))


class Bar:
    """A progress bar on standard error that a study's long work can feed."""

    def __init__(self, label):
        self.label, self.bar = label, None

    def __call__(self, done, total):
        """Show that `done` of `total` are done."""
        if self.bar is None:
            self.bar = click.progressbar(length=total, label=self.label, file=sys.stderr)
            self.bar.__enter__()
        self.bar.update(done - self.bar.pos)
        if done >= total:
            self.bar.__exit__(None, None, None)
            self.bar = None  # what comes next has a bar of its own


def main(arguments=None):
    """Run the command line; exit codes: 0 done, 2 unusable input, 1 a fault of the program."""
    arguments = sys.argv[1:] if arguments is None else list(arguments)
    for name in ONE_THREAD:
        os.environ.setdefault(name, "1")
    try:
        code = edgetest.main(arguments, standalone_mode=False)
    except UnusableInput as fault:
        tell_faults(getattr(fault, "faults", (fault,)), said(fault, arguments), arguments)
        code = 2
    except click.exceptions.Abort:
        click.echo("stopped; what was written so far is kept", err=True)
        code = 130
    except click.UsageError as fault:
        where = fault.ctx.command_path if fault.ctx else "edgetest"
        what, mend = plainly(fault.format_message()), f"see {where} --help"
        text = f"{where}: {what} See {where} --help."
        tell_faults([UnusableInput(what.rstrip("."), where, mend)], text, arguments)
        code = 2
    except BrokenPipeError:  # the reader of a pipe, such as `head`, has had enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 0
    except Exception as fault:  # the last line of defence: no traceback reaches a user
        if "--debug" in arguments:
            raise
        one, code = unforeseen(fault)
        tell_faults([one], str(one), arguments)
    sys.exit(code if isinstance(code, int) else 0)


def plainly(message):
    """What click says of an option, with the mend of a number that is none, or a per cent."""
    message = re.sub(
        r"is not a valid (float|integer)(?: range)?\.", lambda found: _NO_NUMBER[found[1]], message
    )
    share = re.search(r": ([\d.]+) is not in the range (0(?:\.5)?)<=?x<=?1\b", message)
    if share and max(1, 100 * float(share[2])) < float(share[1]) < 100:
        message = f"{message} Write it as a share: {float(share[1]) / 100:g} for {share[1]} %."
    return message


def tell_faults(faults, text, arguments):
    """Say faults on standard error, and as a document on standard output where one was asked."""
    click.echo(shown_whole(text), err=True)
    if "--json" in arguments:
        found = [{"what": one.what, "where": one.where, "mend": one.mend} for one in faults]
        say({"fault": found}, "", True)


def unforeseen(fault):
    """What went wrong that no room foresaw, and the exit code."""
    if isinstance(fault, OSError) and (told := disk_fault(fault)):
        return told, 2
    what = f"a fault of the program, not of your data: {type(fault).__name__}: {fault}"
    return UnusableInput(what, "edgetest", "run again with `edgetest --debug …` and send what it "
                         "prints"), 1  # fmt: skip


def said(fault, arguments):
    """Faults for standard error, a line each; of many the first where `check` can list them."""
    faults = [" ".join(str(each).split()) for each in getattr(fault, "faults", (fault,))]
    checked = any(_can_be_checked(Path(each)) for each in arguments)
    more = len(faults) - MOST_FAULTS
    if more < 2 or not checked or "enter" in arguments[:1]:  # what is entered is in no file
        return "\n".join(faults)
    first = faults[:MOST_FAULTS]
    return "\n".join([*first, f"and {more} more; `edgetest check` lists them all"])


def _can_be_checked(path):
    return path.is_file() or (path / "study.toml").is_file()


def path_argument(name, **more):
    """A path that must be there, said in our own words."""
    return click.argument(name, type=PATH, **more)


def size(text, where, unit="mm"):
    """A size as typed for the option `where`, in `unit`."""
    from edgetest.units import Typed, Unreadable, parse_quantity

    try:
        return Typed(parse_quantity(text, unit), text)
    except Unreadable as fault:
        raise UnusableInput(fault.what, where, fault.mend) from None
