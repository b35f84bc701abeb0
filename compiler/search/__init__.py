"""Exact searches over whole numbers, for counts that nobody can count any more.

Holds the words of a problem (problem.py), the integer form of its rules (forms.py), the search (depth_first.py),
and what is asked of it: all solutions and the nearest ones (integers.py), and which rules clash (clash.py). Knows
nothing of clocks; may import nothing but the standard library.
"""
