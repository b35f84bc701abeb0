"""Why figures changed: through which other changed figure, or by which changed fact, each of them did."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from countwheel.figures.record import Figure


def reasons(
    changed: Iterable[str], figures: Mapping[str, Figure], facts: Iterable[str]
) -> dict[str, tuple[str, ...]]:
    """For each id of `changed`, the ids among them that its formula uses, else the paths of `facts` that it rests on.

    A formula names what it uses by title: of several figures with one title, that of the same part comes first.
    """
    ids = [id for id in dict.fromkeys(changed) if id in figures]
    by_title: dict[str, list[str]] = {}
    for id in ids:
        by_title.setdefault(figures[id].title, []).append(id)
    paths = tuple(dict.fromkeys(facts))
    return {id: _used(figures[id], by_title) or _facts(figures[id], paths) for id in ids}


def _used(figure: Figure, by_title: Mapping[str, list[str]]) -> tuple[str, ...]:
    found = []
    for _, what in figure.symbols:
        title = what if what in by_title else what.rpartition(", in ")[0]
        several = [id for id in by_title.get(title, ()) if id != figure.id]
        if several:
            part = figure.id.partition(".")[0]
            found.append(next((id for id in several if id.partition(".")[0] == part), several[0]))
    return tuple(dict.fromkeys(found))


def _facts(figure: Figure, paths: tuple[str, ...]) -> tuple[str, ...]:
    rests = {one.path.partition(" ")[0].lower() for one in figure.inputs}
    return tuple(path for path in paths if path.lower() in rests)
