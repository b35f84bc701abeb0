"""The pendulum against itself: its stated length and its beat, its bob's mass and its size."""

from __future__ import annotations

import math
from collections.abc import Iterator

from countwheel.diagnostics.record import Diagnostic, Label
from countwheel.diagnostics.registry import say
from countwheel.figures.record import Figure
from countwheel.model.clock import Clock
from countwheel.model.values import Quantity

Figures = dict[str, Figure]


def length(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M512: the length stated for the pendulum does not go with its beat at this place."""
    node = clock.pendulum.get("length") if clock.pendulum else None
    stated = node.quantity() if node else None
    figure = figures.get("pendulum.theoretical_length")
    if node is None or stated is None or figure is None or not isinstance(figure.value, float):
        return
    theory = figure.value / (1000 if figure.unit == "mm" else 1)
    # The middle of the bob lies near the centre of oscillation, seldom at it: a tenth either way is usual
    # (E. Beckett, Clocks, Watches and Bells, 1903, page 184: 99 in over all for a simple length of 88.1 in).
    if abs(stated.si - theory) > 0.15 * theory + (stated.tolerance.half_width if stated.tolerance else 0):
        beat = clock.pendulum.get("beat") if clock.pendulum else None
        yield say(
            "M512",
            stated.span,
            f"A pendulum {stated.written} long does not go with its beat, which needs a length of "
            f"{theory:.3f} m by theory.",
            label=f"{stated.si:.3f} m",
            others=(Label(beat.span, "the beat"),) if beat else (),
            hints=("measure from where the spring bends to the middle of the bob, and time the beat again",),
        )


def bob(clock: Clock, figures: Figures) -> Iterator[Diagnostic]:
    """M510: the bob would have to be of another metal, or of another size, to have the mass stated."""
    node = clock.pendulum.get("bob") if clock.pendulum else None
    if node is None:
        return
    mass = node.quantity("mass")
    volume = bob_volume(
        node.text("shape"),
        node.quantity("diameter"),
        node.quantity("height"),
        node.quantity("thickness"),
        node.quantity("hole"),
    )
    from countwheel.figures.materials import find

    material = find(node.text(part="material") or "")
    density = node.quantity("density")
    usual = density.si if density else (material.density.value if material else None)
    if mass is None or volume is None or not usual:
        return
    expected = usual * volume
    # Bobs are hollow, drilled or rounded: only what is far off is worth a word.
    if not 0.5 * expected <= mass.si <= 1.25 * expected:
        yield say(
            "M510",
            mass.span,
            f"A bob of this shape and size would weigh about {expected:.0f} kg in "
            f"{node.text(part='material') or 'this metal'}; stated is {mass.written} ({mass.si:.0f} kg).",
            label=f"{mass.si:.0f} kg",
            hints=("measure the bob again, or look whether it is hollow or of another metal",),
        )


def bob_volume(
    shape: str | None,
    diameter: Quantity | None,
    height: Quantity | None,
    thickness: Quantity | None,
    hole: Quantity | None,
) -> float | None:
    """Volume in m³ of a bob of a known shape; None where a size is missing. Solids by elementary geometry."""
    if diameter is None or shape is None:
        return None
    r = diameter.si / 2
    bore = math.pi * (hole.si / 2) ** 2 if hole else 0.0
    if shape == "sphere":
        return 4 / 3 * math.pi * r**3 - bore * 2 * r
    deep = thickness or height
    if shape == "lens" and deep is not None:
        cap = deep.si / 2
        return 2 * math.pi * cap * (3 * r**2 + cap**2) / 6 - bore * 2 * r
    if shape == "cylinder" and height is not None:
        return (math.pi * r**2 - bore) * height.si
    if shape == "flat cylinder" and deep is not None:
        return math.pi * r**2 * deep.si - bore * 2 * r
    return None


CHECKS = (length, bob)
