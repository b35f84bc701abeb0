"""The outlines of wheels seen from the front: teeth, staves, and how two that mesh are set to one another.

Angles are in radians on the screen, from the right and with the hands of a clock; lengths in its units.
"""

from __future__ import annotations

from math import cos, pi, sin, tau

#: Of the module: how far a tooth stands out of the pitch circle and goes in; half its width there, of the pitch.
#: Only for the eye. What a wheel is cut to stands on the sheets.
_OUT, _IN = 0.85, 1.05
_ROOT, _PITCH, _TIP = 0.30, 0.235, 0.10


def toothed(radius: float, many: int, phase: float, inward: bool = False) -> str:
    """A closed path of `many` teeth on a pitch circle, the middle of one of them at the angle `phase`."""
    module = 2 * radius / many
    sign = -1 if inward else 1
    steps = (
        (-_ROOT, radius - sign * _IN * module),
        (-_PITCH, radius),
        (-_TIP, radius + sign * _OUT * module),
        (_TIP, radius + sign * _OUT * module),
        (_PITCH, radius),
        (_ROOT, radius - sign * _IN * module),
    )
    points = [
        (far * cos(phase + tau * (tooth + at) / many), far * sin(phase + tau * (tooth + at) / many))
        for tooth in range(many)
        for at, far in steps
    ]
    return f"M{'L'.join(f'{x:.2f},{y:.2f}' for x, y in points)}Z"


def saw(radius: float, many: int, clockwise: bool) -> str:
    """A closed path of an escape wheel's teeth, their points leading the way it turns."""
    lead = 1 if clockwise else -1
    points = []
    for tooth in range(many):
        tip = tau * tooth / many - pi / 2
        root = tip - lead * 0.35 * tau / many
        pair = [(radius, tip), (radius * 0.86, root)]
        points += pair if lead < 0 else pair[::-1]
    return f"M{'L'.join(f'{far * cos(at):.2f},{far * sin(at):.2f}' for far, at in points)}Z"


def mate_phase(phase: float, many: int, mate: int, towards: float, reverses: bool = True) -> float:
    """The phase of a wheel of `mate` teeth whose gap takes the tooth of its driver at the line of centres.

    The driver has `many` teeth and stands at `phase`; `towards` is the angle from its middle to the mate's. With
    `reverses` False one turns inside the other and both go the same way.
    """
    # Inside one another both see the place where they meet from the same side: outwards from the larger's middle.
    meet = towards if reverses or many > mate else towards + pi
    # How far behind that place a tooth of the driver stands, in teeth: there the mate must have a gap.
    behind = (meet - phase) * many / tau % 1.0
    return meet + pi + tau * (behind + 0.5) / mate if reverses else meet - tau * (behind + 0.5) / mate
