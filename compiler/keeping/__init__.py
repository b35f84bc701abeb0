"""What keeping a clock asks for by the calendar: winding, care, seasons, clock changes, whose turn it is.

Reads the model and the figures, and of the zones when clocks are changed; knows nothing of today: every date is given
to it. Wording is for `emit`.
"""
