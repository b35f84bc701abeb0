"""The language server: what an editor asks about a description, answered from an analysed project.

Pure functions over one `Analysis`, a file a kind of question, with spans in the text; `wire.py` turns these into
what the protocol has, `desk.py` keeps what is open, `server.py` wires them. The only importer of pygls and
lsprotocol (`wire.py`, `server.py`). May import the facade, the vocabulary, the text as written and the model; must
not import resolve.
"""
