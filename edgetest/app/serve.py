"""Start the app's server on this machine."""

import os
import subprocess
import sys
from pathlib import Path

from edgetest.app.look import THEME
from edgetest.app.workspace import WORKSPACE_VARIABLE

ENTRY = Path(__file__).with_name("entry.py")


def start(workspace, *, port=8501, address="127.0.0.1"):
    """Run the app until it is stopped; nothing leaves the machine.

    Parameters
    ----------
    workspace : str or Path
        Folder of the maker's studies; made if it is not there.
    port : int
    address : str
        127.0.0.1 serves this machine alone.

    Returns
    -------
    int
        Exit code of the server.
    """
    workspace = Path(workspace).resolve()
    workspace.mkdir(parents=True, exist_ok=True)
    options = {
        "server.port": port,
        "server.address": address,
        "server.headless": "true",
        "server.maxUploadSize": 64,
        "server.fileWatcherType": "none",
        "browser.gatherUsageStats": "false",
        "client.toolbarMode": "minimal",
        "client.showErrorDetails": "none",
        **THEME,
    }
    flags = [f"--{name}={value}" for name, value in options.items()]
    print(f"edgetest is at http://{address}:{port} — studies in {workspace} — stop with Ctrl-C")
    command = [sys.executable, "-m", "streamlit", "run", str(ENTRY), *flags]
    try:
        return subprocess.call(command, env={**os.environ, WORKSPACE_VARIABLE: str(workspace)})
    except KeyboardInterrupt:
        return 0
