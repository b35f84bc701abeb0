"""What the log tells of the clock's timekeeping: stretches, rates, what warmth and air do, what to turn.

Holds pure functions from entries to numbers, in plain Python, since a library of arrays takes longer to start than
twenty years of entries take to fit. May import the model, the figures and the time zones; never the syntax, never emit.
A positive error is fast, a positive rate gains; days are mean solar days of 86 400 s, and moments are days since
1970-01-01 00:00 UTC.
"""
