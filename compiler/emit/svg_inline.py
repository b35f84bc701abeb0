"""A drawing as an element that can stand within an HTML page.

Several drawings share one page, so their ids must not meet; and a page that
runs nothing must not be given anything to run by a drawing.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

from countwheel.emit.drawing import Drawing

Element = ElementTree.Element
_SVG = "{http://www.w3.org/2000/svg}"
_XLINK = "{http://www.w3.org/1999/xlink}"
_URL = re.compile(r"url\(\s*(['\"]?)#([^)'\"]+)\1\s*\)")
_DROPPED = frozenset({"script", "foreignObject", "title", "desc", "metadata"})
_MILLIMETRES = re.compile(r"\s*([0-9.]+)\s*mm\s*")


def inline_svg(drawing: Drawing) -> Element:
    """The drawing's root element, without namespaces, its ids prefixed with the drawing's own.

    Its title and alternative text are put in afresh from `drawing`, so that
    they are there whatever drew it.
    """
    root = ElementTree.fromstring(drawing.svg)
    for element in root.iter():
        _clean(element, drawing.id)
    title = Element("title", {"id": f"{drawing.id}-title"})
    title.text = drawing.title
    words = Element("desc", {"id": f"{drawing.id}-words"})
    words.text = drawing.alt
    root[:0] = [title, words]
    root.set("id", f"{drawing.id}-art")
    root.set("role", "img")
    root.set("aria-labelledby", f"{drawing.id}-title {drawing.id}-words")
    return root


def size_mm(drawing: Drawing) -> tuple[float, float] | None:
    """Width and height in millimetres, where the drawing states both so."""
    root = ElementTree.fromstring(drawing.svg)
    found = [_MILLIMETRES.fullmatch(root.get(side, "")) for side in ("width", "height")]
    width, height = found
    return (float(width[1]), float(height[1])) if width and height else None


def _clean(element: Element, prefix: str) -> None:
    element.tag = str(element.tag).removeprefix(_SVG)
    for child in [child for child in element if _local(child) in _DROPPED or not _is_svg(child)]:
        element.remove(child)
    for name, value in list(element.attrib.items()):
        del element.attrib[name]
        kept = _attribute(name, value, prefix)
        if kept:
            element.set(*kept)
    if element.tag == "style" and element.text:
        element.text = _scope(element.text, prefix)


def _local(element: Element) -> str:
    return str(element.tag).removeprefix(_SVG)


def _is_svg(element: Element) -> bool:
    return isinstance(element.tag, str) and (element.tag.startswith(_SVG) or "{" not in element.tag)


def _attribute(name: str, value: str, prefix: str) -> tuple[str, str] | None:
    """An attribute as it may stand in the page, or None where it may not."""
    name = name.replace(_XLINK, "")
    if "{" in name or name.lower().startswith("on"):
        return None
    if name == "href":
        return (name, f"#{prefix}-{value[1:]}") if value.startswith("#") else None
    if name == "id":
        return name, f"{prefix}-{value}"
    if name in ("aria-labelledby", "aria-describedby", "role"):
        return None
    return name, _URL.sub(lambda match: f"url(#{prefix}-{match[2]})", value)


def _scope(css: str, prefix: str) -> str:
    """Keep a drawing's own rules to the drawing. Flat rules only: our drawings write no others."""
    css = css.replace("<", "").replace("@import", "")

    def scoped(rule: re.Match[str]) -> str:
        selectors = ", ".join(f"#{prefix}-art {part.strip()}" for part in rule[1].split(","))
        return f"{selectors} {{{_URL.sub(lambda match: f'url(#{prefix}-{match[2]})', rule[2])}}}"

    return re.sub(r"([^{}]+)\{([^{}]*)\}", scoped, css)
