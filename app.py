"""The app's entry for `streamlit run app.py`: navigation only."""

from edgetest.app.navigation import run_app

run_app()
