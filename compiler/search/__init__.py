"""Counts that nobody can count any more: what they can have been.

Two layers. The search over whole numbers knows nothing of clocks and imports the standard library alone: the words
of a problem (problem.py), the integer form of its rules (forms.py), the search (depth_first.py), and what is asked of
it: all solutions and the nearest ones (integers.py), and which rules clash (clash.py). On it stands what a clock asks:
lost counts and their limits (lost.py), what they must satisfy (rules.py), how well a candidate goes with the evidence
(evidence.py), which measurement would tell them apart (separating.py), and all of it together (find.py). Beside them
what is unknown and what to measure first: how facts are found out (measuring.py), a description with its gaps filled
(filling.py), the gaps (gaps.py). May import the model, the vocabulary and the figures; must not import syntax, resolve
or emit.
"""
