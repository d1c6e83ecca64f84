"""Start the app's server on this machine."""

import os
from importlib import import_module
from pathlib import Path
from threading import Thread

from edgetest.app.guarded import names_served
from edgetest.app.theme import THEME

SERVED = Path(__file__).with_name("served.py")
# Runs of a page for which the browser keeps what it was sent. With the usual 2 it has dropped,
# where runs follow each other fast (the live camera), what the server takes it to have.
MESSAGE_AGE = 100
LARGEST_UPLOAD_MB = 64  # what a browser gives is held in memory
WORKSPACE_VARIABLE = "EDGETEST_WORKSPACE"
# What the first page needs, in the order in which it needs it; a browser takes about as long
# to come as these take to import.
FIRST_PAGE = ("pandas", "edgetest.app.desk.studies_page",
              "streamlit.runtime.scriptrunner.magic_funcs",
              "pyarrow.pandas_compat", "streamlit.material_icon_names")  # fmt: skip


def start(workspace, *, port=8501, address="127.0.0.1", also_as=()):
    """Run the app until it is stopped; nothing leaves the machine.

    Parameters
    ----------
    workspace : str or Path
        Folder of the maker's studies; made if it is not there.
    port : int
    address : str
        127.0.0.1 serves this machine alone.
    also_as : sequence of str
        Further names by which browsers ask for it.
    """
    from streamlit.web import cli

    workspace = Path(workspace).resolve()
    workspace.mkdir(parents=True, exist_ok=True)
    os.environ[WORKSPACE_VARIABLE] = str(workspace)
    options = {
        "server.port": port,
        "server.address": address,
        "server.headless": "true",
        "server.maxUploadSize": LARGEST_UPLOAD_MB,
        "server.fileWatcherType": "none",
        "global.maxCachedMessageAge": MESSAGE_AGE,
        "global.disableWidgetStateDuplicationWarning": "true",  # both are given: see kept_fields
        "browser.gatherUsageStats": "false",
        "client.toolbarMode": "minimal",
        "client.showErrorDetails": "none",
        **THEME,
    }
    flags = [f"--{name}={value}" for name, value in options.items()]
    flags += [f"--server.allowedHosts={name}" for name in names_served(address, also_as)]
    print(f"edgetest is at http://{address}:{port} — studies in {workspace} — stop with Ctrl-C")
    Thread(target=_import_first_page, daemon=True, name="first page").start()
    cli.main(["run", str(SERVED), *flags], standalone_mode=False)


def _import_first_page():
    """Import while the server starts and the browser is on its way."""
    for name in FIRST_PAGE:
        import_module(name)
