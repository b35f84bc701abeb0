"""What changed between two versions of a description: its facts, and what that does to the figures.

May import the model, the figures' records and diagnostics; must not import syntax, resolve or emit.
"""
