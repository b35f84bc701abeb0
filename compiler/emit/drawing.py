"""A drawing: one SVG picture, with the words that stand for it where it cannot be seen."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing of the clock.

    `id` is its public name and file stem (`train-going`, `way-to-the-dials`).
    `title` is a heading for people. `svg` is a whole SVG 1.1 document with a
    viewBox and its size in millimetres, at most 170 mm wide and 240 mm tall
    so that it goes on a page of A4 as it is. `alt` says in words what the
    drawing shows, for readers who cannot see it. `engine` names what laid the
    drawing out; it is for reports and is never written into `svg`.
    """

    id: str
    title: str
    svg: str
    alt: str
    engine: str = ""
