"""The script of the pages: navigation only."""

from edgetest.app.navigation import run_app

run_app()
