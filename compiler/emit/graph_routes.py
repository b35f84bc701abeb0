"""Small corrections to the ways of links: level ones level, branches square."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from countwheel.emit.graph import ARROW, Placed, SizedBox
from countwheel.emit.layout_engine import Point, Route


def _port_middle(sized: SizedBox, port: str, middle: Point) -> float:
    """How far down the middle of a port's cell is."""
    y = middle[1] - sized.height / 2
    for row in sized.rows:
        if any(cell.cell.port == port for cell in row):
            return y + row[0].height / 2
        y += row[0].height
    return middle[1]


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


def _level_links(placed: Placed) -> Placed:
    """Draws links between level boxes level.

    The engine lines boxes up by their middles; an arrow leaves from the middle
    of a cell. So the box at the other end is moved by that little; where other
    links hold it, the arrow comes in a little off its middle.
    """
    boxes, routes = dict(placed.places.boxes), dict(placed.places.routes)
    sized = {box.box.key: box for box in placed.boxes}
    node = {box.box.key: f"n{at}" for at, box in enumerate(placed.boxes)}
    ends = [key for link in placed.links for key in (link.link.tail, link.link.head)]
    for at, one in enumerate(placed.links):
        link = one.link
        alone = next((key for key in (link.head, link.tail) if ends.count(key) == 1), None)
        if not link.beside or one.lines:
            continue
        fixed, port = (link.head, link.head_port) if alone == link.tail else (link.tail, link.tail_port)
        y = _port_middle(sized[fixed], port, boxes[node[fixed]])
        if alone is not None:
            boxes[node[alone]] = (boxes[node[alone]][0], y)
        elif abs(boxes[node[link.head]][1] - y) > sized[link.head].height / 3:
            continue
        way = 1 if link.beside == "right" else -1
        tail, head = (
            (boxes[node[key]][0] + side * way * sized[key].width / 2, y)
            for key, side in ((link.tail, 1), (link.head, -1))
        )
        routes[f"e{at}"] = _straight(tail, head)
    return replace(placed, places=replace(placed.places, boxes=boxes, routes=routes))


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
            start = tail_x + tail.width / 2, _port_middle(tail, link.tail_port, middle[link.tail])
            end = head_x - head.width / 2, _port_middle(head, link.head_port, middle[link.head])
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


def _into_sides(placed: Placed) -> Placed:
    """Draws links that come into the right side of a box down and then level, where there is room for it."""
    routes = dict(placed.places.routes)
    at_box = {box.box.key: (box, placed.places.boxes[f"n{at}"]) for at, box in enumerate(placed.boxes)}
    for at, one in enumerate(placed.links):
        if one.link.into != "right":
            continue
        (tail, (x, y)), (head, middle) = at_box[one.link.tail], at_box[one.link.head]
        edge, into = middle[0] + head.width / 2, _port_middle(head, one.link.head_port, middle)
        start = x, y + tail.height / 2
        if x > edge + ARROW and into > start[1]:
            routes[f"e{at}"] = _straight(start, (x, into), (edge, into))
    return replace(placed, places=replace(placed.places, routes=routes))


def _touching(placed: Placed) -> Placed:
    """Lets every arrow touch the box it comes to: the engine reckons in whole points, we do not."""
    routes = dict(placed.places.routes)
    at_box = {box.box.key: (box, placed.places.boxes[f"n{at}"]) for at, box in enumerate(placed.boxes)}
    for at, one in enumerate(placed.links):
        if one.link.beside or one.link.branch:
            continue
        head, (x, y) = at_box[one.link.head]
        route = routes[f"e{at}"]
        top = (route.tip[0], y - head.height / 2)
        tip = top if one.link.into == "top" else (x + head.width / 2, route.tip[1])
        if abs(tip[0] - route.tip[0]) + abs(tip[1] - route.tip[1]) < 3:
            routes[f"e{at}"] = replace(route, tip=tip)
    return replace(placed, places=replace(placed.places, routes=routes))


def level(placed: Placed) -> Placed:
    """The same drawing with all corrections made."""
    return _touching(_into_sides(_square_branches(_level_links(placed))))
