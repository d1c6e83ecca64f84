"""The command workers: programs that measure photographs for `edgetest measure --on`."""

from dataclasses import dataclass

import click

from edgetest.cli import root


@dataclass(frozen=True)
class WorkersWanted:
    """How many workers, and whose."""

    count: int = root.option("How many; as many as the machine has cores.", int, default=2)
    join: str | None = root.option(
        "Join the cluster that another machine started.", metavar="tcp://HOST:PORT"
    )
    address: str = root.option(
        "This machine's address on your own network lets other machines in.", default="127.0.0.1"
    )
    port: int = root.option("Port of the cluster; 0 takes a free one.", int, default=8786)


@root.command("workers", "edgetest workers --count 2")
@root.takes(wanted=WorkersWanted)
def workers_command(wanted):
    """Start workers that measure photographs, here or for a cluster; Ctrl-C ends them.

    The first machine starts the cluster and prints its address for `edgetest measure --on`. With
    --address 192.168.1.5 (its own) further machines can join: `edgetest workers --join …`. Every
    machine needs the same edgetest.

    A cluster asks for no password: whoever reaches its port can run any program on these
    machines. Keep it on your own network. Dask's settings `distributed.comm.require-encryption`
    and `distributed.comm.tls` have it ask for certificates; its address is tls://… then.
    """
    from edgetest.study.cluster.serve_workers import Workers, serve_workers

    serve_workers(
        Workers(wanted.count, wanted.join, wanted.address, wanted.port),
        lambda address: click.echo(
            f"{wanted.count} worker{'s' * (wanted.count != 1)} at {address} — measure with "
            f"`edgetest measure FOLDER --on {address}` — stop with Ctrl-C"
        ),
    )
