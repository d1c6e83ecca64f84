"""How does a browser get a study's zip of any size, without its being held in memory?

The zip is written into a hidden folder of the workspace, sent from there, and removed.
"""

import os
import shutil
import tempfile
import time
from pathlib import Path
from urllib.parse import quote

from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.responses import FileResponse, PlainTextResponse
from starlette.routing import Route

from edgetest.app.serve import WORKSPACE_VARIABLE
from edgetest.errors import UnusableInput
from edgetest.store.export import export_study
from edgetest.store.files import LITTER_SECONDS, disk_fault
from edgetest.store.records import STUDY_FILE

PLACE = "/taken_away"
BENCH = ".taken_away_"  # hidden folders; one is left over where the program was killed


def routes():
    """The addresses that a study's zip is taken from."""
    return [Route(f"{PLACE}/{{name}}.zip", _zip_of)]


def address(folder):
    """Where the zip of a study is taken from."""
    return f"{PLACE}/{quote(folder.name)}.zip"


async def _zip_of(request):
    """One study's zip; a fault as its sentence."""
    if request.headers.get("sec-fetch-site") == "cross-site":
        return PlainTextResponse("another site may not ask for this\n", status_code=403)
    name = request.path_params["name"]
    root = Path(os.environ.get(WORKSPACE_VARIABLE, "edgetest_studies"))
    if Path(name).name != name or name.startswith(".") or not (root / name / STUDY_FILE).is_file():
        return PlainTextResponse("there is no such study\n", status_code=404)
    try:
        path = await run_in_threadpool(_written, root / name)
    except (UnusableInput, OSError) as fault:
        told = fault if isinstance(fault, UnusableInput) else disk_fault(fault)
        return PlainTextResponse(f"{told or fault}\n", status_code=409)
    sent = BackgroundTask(shutil.rmtree, path.parent, ignore_errors=True)
    return FileResponse(path, media_type="application/zip", filename=path.name, background=sent)


def _written(folder):
    """The zip on disk, in a folder of its own; what an earlier program left is removed."""
    for left in folder.parent.glob(f"{BENCH}*"):
        if time.time() - left.stat().st_mtime > LITTER_SECONDS:
            shutil.rmtree(left, ignore_errors=True)
    bench = Path(tempfile.mkdtemp(dir=folder.parent, prefix=BENCH))
    try:
        return export_study(folder, bench / f"{folder.name}.zip")
    except BaseException:
        shutil.rmtree(bench, ignore_errors=True)
        raise
