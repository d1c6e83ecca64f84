"""The app's entry for `streamlit run app.py`."""

from streamlit.starlette import App

from edgetest.app.guarded import ENTRY, guards

app = App(ENTRY, middleware=guards())
