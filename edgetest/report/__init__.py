"""How is a result shown: figures, overlay pictures and the document.

Open `documents` for what a reader gets, `figures` for what is drawn; `wording` and `letters`
hold the words that several of them use.
"""
