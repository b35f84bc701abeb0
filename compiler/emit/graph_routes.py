"""Small corrections to the ways of links: level ones level, branches square."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from countwheel.emit.graph import ARROW, SizedBox
from countwheel.emit.graph_places import Placed, is_held, port_middle
from countwheel.emit.layout_engine import Point, Route


def _straight(*corners: Point) -> Route:
    """A way along straight lines, with room for the arrow at its end."""
    (bx, by), tip = corners[-2], corners[-1]
    long = max(abs(tip[0] - bx) + abs(tip[1] - by), 0.1)
    back = min(ARROW / long, 1.0)
    ways = (*corners[:-1], (tip[0] + (bx - tip[0]) * back, tip[1] + (by - tip[1]) * back))
    points = [ways[0]]
    for before, after in pairwise(ways):
        points += [before, after, after]
    return Route(tuple(points), tip, None)


def _port_at(sized: SizedBox, port: str, middle: Point) -> float:
    """How far down the page the middle of a port's cell is."""
    return middle[1] - sized.height / 2 + port_middle(sized, port)


def _level_links(placed: Placed) -> Placed:
    """Draws the links between boxes and their companions, straight across."""
    routes = dict(placed.places.routes)
    middle = {box.box.key: placed.places.boxes[f"n{at}"] for at, box in enumerate(placed.boxes)}
    number = {id(one.link): at for at, one in enumerate(placed.links)}
    for cluster in placed.clusters:
        anchor = cluster.members[0].box
        for member in cluster.members:
            if member.link is None:
                continue
            (x, _), (its_x, its_y) = middle[anchor.box.key], middle[member.box.box.key]
            y = _port_at(member.box, member.link.companion[1], (its_x, its_y))
            way = 1 if its_x > x else -1
            ends = (x + way * anchor.width / 2, y), (its_x - way * member.box.width / 2, y)
            routes[f"e{number[id(member.link)]}"] = _straight(
                *(reversed(ends) if member.link.arrives else ends)
            )
    return replace(placed, places=replace(placed.places, routes=routes))


def _square_branches(placed: Placed) -> Placed:
    """Draws the branches from one box to several like ones along straight lines with square corners."""
    boxes, routes = placed.places.boxes, dict(placed.places.routes)
    sized = {box.box.key: box for box in placed.boxes}
    middle = {box.box.key: boxes[f"n{at}"] for at, box in enumerate(placed.boxes)}
    edge = max((middle[key][0] + sized[key].width / 2 for key in placed.column), default=0.0)
    branches = [(at, one.link) for at, one in enumerate(placed.links) if one.link.branch]
    sources = sorted({link.tail for _, link in branches})
    for at, link in branches:
        tail, head = sized[link.tail], sized[link.head]
        (tail_x, tail_y), (head_x, head_y) = middle[link.tail], middle[link.head]
        if placed.column:
            start = tail_x + tail.width / 2, _port_at(tail, link.tail_port, middle[link.tail])
            end = head_x - head.width / 2, _port_at(head, link.head_port, middle[link.head])
            # Ways from different boxes turn off at different places, so that they can be told apart.
            turn = edge + (end[0] - edge) * (sources.index(link.tail) + 1) / (len(sources) + 1)
            corners = [start, (turn, start[1]), (turn, end[1]), end]
        else:
            start, end = (tail_x, tail_y + tail.height / 2), (head_x, head_y - head.height / 2)
            turn = end[1] - (ARROW + 5)
            corners = (
                [start, (tail_x, turn), (head_x, turn), end] if abs(tail_x - head_x) > 1 else [start, end]
            )
        routes[f"e{at}"] = _straight(*corners)
    return replace(placed, places=replace(placed.places, routes=routes))


def _touching(placed: Placed) -> Placed:
    """Lets every arrow touch the box it comes to: the engine reckons in whole points, we do not."""
    routes = dict(placed.places.routes)
    at_box = {box.box.key: (box, placed.places.boxes[f"n{at}"]) for at, box in enumerate(placed.boxes)}
    for at, one in enumerate(placed.links):
        if one.link.branch or one.link.hidden or is_held(one.link, placed.clusters):
            continue
        head, (_, y) = at_box[one.link.head]
        route = routes[f"e{at}"]
        tip = (route.tip[0], y - head.height / 2)
        if abs(tip[0] - route.tip[0]) + abs(tip[1] - route.tip[1]) < 3:
            routes[f"e{at}"] = replace(route, tip=tip)
    return replace(placed, places=replace(placed.places, routes=routes))


# -- the words beside links --------------------------------------------------------
Rectangle = tuple[float, float, float, float]  # left, top, right, bottom


def _around(middle: Point, width: float, height: float) -> Rectangle:
    return (
        middle[0] - width / 2,
        middle[1] - height / 2,
        middle[0] + width / 2,
        middle[1] + height / 2,
    )


def _apart(one: Rectangle, two: Rectangle) -> bool:
    return one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]


def _along(route: Route) -> list[Point]:
    """Places along a way, close to each other."""
    found: list[Point] = []
    for at in range(0, len(route.points) - 3, 3):
        a, b, c, d = route.points[at : at + 4]
        for step in range(25):
            t = step / 24
            parts = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
            x, y = (
                sum(part * end[axis] for part, end in zip(parts, (a, b, c, d), strict=True))
                for axis in (0, 1)
            )
            found.append((x, y))
    return [*found, route.tip]


def _clear_labels(placed: Placed) -> Placed:
    """Moves words that a way runs through to the one side of it or the other, where there is room."""
    places = placed.places
    routes = dict(places.routes)
    ways = {key: _along(route) for key, route in routes.items()}
    solid = [_around(places.boxes[f"n{at}"], box.width, box.height) for at, box in enumerate(placed.boxes)]
    labels = {
        f"e{at}": _around(label, one.width, one.height)
        for at, one in enumerate(placed.links)
        if one.lines and (label := routes[f"e{at}"].label) is not None
    }

    def free(key: str, rectangle: Rectangle) -> bool:
        left, top, right, bottom = rectangle
        others = [*solid, *(other for name, other in labels.items() if name != key)]
        return (
            left >= 0
            and right <= places.width
            and all(_apart(rectangle, other) for other in others)
            and not any(left < x < right and top < y < bottom for points in ways.values() for x, y in points)
        )

    for key, (left, top, right, bottom) in list(labels.items()):
        beside = [x for x, y in ways[key] if top - 2 < y < bottom + 2]
        if free(key, (left, top, right, bottom)) or not beside:
            continue
        wide = right - left
        for start in (max(beside) + 1, min(beside) - 1 - wide):
            moved = start, top, start + wide, bottom
            if free(key, moved):
                labels[key] = moved
                routes[key] = replace(routes[key], label=(start + wide / 2, (top + bottom) / 2))
                break
    return replace(placed, places=replace(places, routes=routes))


def level(placed: Placed) -> Placed:
    """The same drawing with all corrections made."""
    return _clear_labels(_touching(_square_branches(_level_links(placed))))
