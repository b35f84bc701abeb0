"""What is amiss with a description, and how it is said.

Holds the one record that every stage makes (`record`), the registry of codes
and the only maker of diagnostics (`registry`), near words (`suggest`), the
printers (`render_text` with `cells`, `render_json`, `render_sarif`) and the
page of every code (`pages`).

May import `countwheel.source` and the standard library. Must not import any
stage of the compiler: every stage imports this.
"""
