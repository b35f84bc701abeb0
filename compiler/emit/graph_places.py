"""Where the boxes of a graph go: sizes to the layout engine, places back, companions kept beside their box.

The engine is given clusters: a box with what stands beside it, as one table
of sizes with a port for every cell that a link fastens to. So a companion can
never come to lie on the wrong side, whatever else is tied to its box.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from countwheel.emit.graph import BESIDE, Graph, Link, SizedBox, SizedLink, size_box, size_link, widen
from countwheel.emit.layout_engine import Places, Point, lay_out

#: Clear space between two companions on the same side.
_APART = 6.0


@dataclass(frozen=True, slots=True)
class Member:
    """A box of a cluster, its middle from the cluster's top left corner, and the link that ties it there."""

    box: SizedBox
    middle: Point
    link: Link | None


@dataclass(frozen=True, slots=True)
class Cluster:
    """A box, the first member, with its companions."""

    members: tuple[Member, ...]
    width: float
    height: float

    @property
    def key(self) -> str:
        return self.members[0].box.box.key


@dataclass(frozen=True, slots=True)
class Placed:
    """A graph with every size and place settled; `boxes` and `links` in the order given."""

    boxes: tuple[SizedBox, ...]
    links: tuple[SizedLink, ...]
    column: tuple[str, ...]
    clusters: tuple[Cluster, ...]
    places: Places


# -- clusters --------------------------------------------------------------------
def port_middle(sized: SizedBox, port: str) -> float:
    """How far below the top of its box the middle of a port's cell is."""
    return sum(_port_span(sized, port)) / 2


def _port_span(sized: SizedBox, port: str) -> tuple[float, float]:
    """From where to where below the top of its box a port's cell reaches."""
    y = 0.0
    for row in sized.rows:
        if any(cell.cell.port == port for cell in row):
            return y, y + row[0].height
        y += row[0].height
    return 0.0, sized.height


def clusters_of(
    boxes: Sequence[SizedBox], links: Sequence[SizedLink], stacked: bool = False
) -> tuple[Cluster, ...]:
    """Every box in one cluster, most of them alone, in the order given.

    `stacked` saves width: of a box with companions on both sides it puts the two over each other on the right.
    """
    sized = {box.box.key: box for box in boxes}
    beside = [one.link for one in links if one.link.beside]
    anchors = {link.anchor[0] for link in beside}
    both = {one.anchor[0] for one in beside for two in beside
            if one.anchor[0] == two.anchor[0] and one.beside != two.beside}  # fmt: skip
    held: dict[str, dict[str, list[Link]]] = {}
    taken: set[str] = set()
    for link in beside:
        companion = link.companion[0]
        sides = held.setdefault(link.anchor[0], {"left": [], "right": []})
        for side in ("right", "left") if stacked and link.anchor[0] in both else (link.beside,):
            if companion not in taken | anchors and _tops([*sides[side], link], sized, stacked):
                sides[side].append(link)
                taken.add(companion)
    return tuple(
        _cluster(box, held.get(box.box.key, {}), sized, stacked) for box in boxes if box.box.key not in taken
    )


def _tops(links: Sequence[Link], sized: Mapping[str, SizedBox], stacked: bool) -> list[float]:
    """Where below the top of the anchor each companion of one side begins; nothing where they do not fit.

    An arrow has to touch the very cell that it belongs to.
    """
    anchor, port = sized[links[0].anchor[0]], links[0].anchor[1]
    middles = [port_middle(sized[link.companion[0]], link.companion[1]) for link in links]
    if len(links) == 1:
        return [port_middle(anchor, port) - middles[0]]
    heights = [sized[link.companion[0]].height for link in links]
    if not stacked or len(links) > 2 or any(link.anchor[1] != port for link in links):
        return []
    first = port_middle(anchor, port) - (sum(heights) + _APART) / 2
    tops = [first, first + heights[0] + _APART]
    start, end = _port_span(anchor, port)
    fits = all(start + 2 <= top + middle <= end - 2 for top, middle in zip(tops, middles, strict=True))
    return tops if fits else []


def _cluster(
    anchor: SizedBox, held: Mapping[str, Sequence[Link]], sized: Mapping[str, SizedBox], stacked: bool
) -> Cluster:
    """Companions level with the cells that they are tied to, at an arrow's length."""
    found: list[tuple[SizedBox, float, float, Link | None]] = [(anchor, 0.0, 0.0, None)]  # left and top
    for side, links in held.items():
        for link, top in zip(links, _tops(links, sized, stacked) if links else [], strict=True):
            box = sized[link.companion[0]]
            found.append((box, -BESIDE - box.width if side == "left" else anchor.width + BESIDE, top, link))
    left, top = min(x for _, x, _, _ in found), min(y for _, _, y, _ in found)
    width = max(x + box.width for box, x, _, _ in found) - left
    height = max(y + box.height for box, _, y, _ in found) - top
    members = tuple(
        Member(box, (x - left + box.width / 2, y - top + box.height / 2), link) for box, x, y, link in found
    )
    return Cluster(members, width, height)


def is_held(link: Link, clusters: Sequence[Cluster]) -> bool:
    """Whether the link ties a companion to its box, within a cluster."""
    return any(member.link is link for one in clusters for member in one.members)


# -- to the engine ---------------------------------------------------------------
def _table(width: float, height: float, inside: str) -> str:
    return (
        f'<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0" FIXEDSIZE="TRUE" '
        f'WIDTH="{round(width)}" HEIGHT="{round(height)}">{inside}</TABLE>'
    )


def _cell(width: float, height: float, port: str = "", inside: str = "") -> str:
    at = f'PORT="{port}" ' if port else ""
    return f'<TD {at}FIXEDSIZE="TRUE" WIDTH="{round(width)}" HEIGHT="{round(height)}">{inside}</TD>'


def _box_table(box: SizedBox, ports: Mapping[tuple[str, str], str]) -> str:
    """An empty table of the box's own sizes, so that the engine knows where each port is."""
    rows = ""
    for row in box.rows:
        cells = "".join(
            _cell(one.width, one.height, ports.get((box.box.key, one.cell.port), "")) for one in row
        )
        rows += f"<TR><TD>{_table(box.width, row[0].height, f'<TR>{cells}</TR>')}</TD></TR>"
    return _table(box.width, box.height, rows)


def _cluster_table(cluster: Cluster, ports: Mapping[tuple[str, str], str]) -> str:
    """The tables of its boxes side by side, each with what clear space there is over and under it."""
    if len(cluster.members) == 1:
        return _box_table(cluster.members[0].box, ports)
    sides: dict[int, list[Member]] = {}
    for member in cluster.members:
        apart = member.middle[0] - cluster.members[0].middle[0]
        sides.setdefault((apart > 1) - (apart < -1), []).append(member)
    columns, reached = "", 0.0
    for at in sorted(sides):
        wide = max(member.box.width for member in sides[at])
        # Companions keep close to their box: on the left of it their right edges are in line.
        left = min(member.middle[0] - member.box.width / 2 for member in sides[at])
        if left - reached >= 1:
            columns += _cell(left - reached, cluster.height)
        columns += (
            f"<TD>{_table(wide, cluster.height, _column_rows(sides[at], cluster.height, wide, ports))}</TD>"
        )
        reached = left + wide
    return _table(cluster.width, cluster.height, f"<TR>{columns}</TR>")


def _column_rows(
    members: Sequence[Member], height: float, wide: float, ports: Mapping[tuple[str, str], str]
) -> str:
    """Boxes under each other, with the clear space over, between and under them."""
    rows, down = "", 0.0
    for member in sorted(members, key=lambda one: one.middle[1]):
        box, over = member.box, member.middle[1] - member.box.height / 2
        if over - down >= 1:
            rows += f"<TR>{_cell(wide, over - down)}</TR>"
        rows += f'<TR><TD PORT="{ports[(box.box.key, "")]}" ALIGN="LEFT">{_box_table(box, ports)}</TD></TR>'
        down = over + box.height
    return rows + (f"<TR>{_cell(wide, height - down)}</TR>" if height - down >= 1 else "")


def dot_text(
    boxes: Sequence[SizedBox],
    links: Sequence[SizedLink],
    column: Sequence[str] = (),
    tight: bool = False,
    stacked: bool = False,
) -> str:
    """The graph as DOT, sizes and no words: edges `e0`, `e1`... in the order given, and a node for each
    cluster, `n0`, `n1`... by the place of its first box."""
    from graphviz import Digraph  # type: ignore[import-untyped]

    number = {box.box.key: at for at, box in enumerate(boxes)}
    clusters = clusters_of(boxes, links, stacked)
    node = {member.box.box.key: f"n{number[one.key]}" for one in clusters for member in one.members}
    alone = {one.key for one in clusters if len(one.members) == 1}
    ports = {
        (box.box.key, cell.cell.port): f"p{at}_{row_at}_{cell_at}"
        for at, box in enumerate(boxes)
        for row_at, row in enumerate(box.rows)
        for cell_at, cell in enumerate(row)
        if cell.cell.port
    }
    # A box that is not alone is a port as a whole.
    ports |= {(key, ""): f"b{at}" for key, at in number.items() if key not in alone}
    graph = Digraph("drawing")
    apart = "0.15" if tight and column else "0.3"
    graph.attr(rankdir="LR" if column else "TB", nodesep=apart, ranksep="0.7" if column else "0.3")
    graph.attr("node", shape="plain")
    graph.attr("edge", arrowsize="0.7")
    straight = {key for link in links if link.link.main for key in (link.link.tail, link.link.head)}
    for one in clusters:
        group = {"group": "main"} if one.key in straight else {}
        graph.node(node[one.key], label=f"<{_cluster_table(one, ports)}>", **group)

    def end(key: str, port: str, side: str) -> str:
        return ":".join(part for part in (node[key], ports.get((key, port), ""), side) if part)

    for at, sized in enumerate(links):
        link = sized.link
        if is_held(link, clusters):
            continue  # drawn by us, straight across
        attributes = {"id": f"e{at}"}
        if sized.lines:
            attributes["label"] = f"<{_table(sized.width, sized.height, '<TR><TD></TD></TR>')}>"
        if link.main:
            attributes["weight"] = "20"
        if link.hidden:
            attributes["style"] = "invis"
        across = column and not (link.tail in column and link.head in column)
        out, into = ("e", "w") if across else ("s", "n")
        graph.edge(end(link.tail, link.tail_port, out), end(link.head, link.head_port, into), **attributes)
    with graph.subgraph() as same:
        same.attr(rank="same")
        for key in column:
            same.node(node[key])
    return str(graph.source)


# -- and back --------------------------------------------------------------------
@dataclass(frozen=True, slots=True)
class Sized:
    """A graph whose boxes have their sizes and not yet their places."""

    boxes: tuple[SizedBox, ...]
    links: tuple[SizedLink, ...]
    column: tuple[str, ...]
    tight: bool
    stacked: bool

    def at_least(self) -> tuple[float, float]:
        """A width and a height that no layout of it can be smaller than."""
        if self.column:
            beside = [box for box in self.boxes if box.box.key not in self.column]
            column = [box for box in self.boxes if box.box.key in self.column]
            wide = sum(max((box.width for box in part), default=0.0) for part in (beside, column))
            return wide, max(sum(box.height for box in part) for part in (beside, column))
        clusters = clusters_of(self.boxes, self.links, self.stacked)
        chain = {key for one in self.links if one.link.main for key in (one.link.tail, one.link.head)}
        high = sum(box.height for box in self.boxes if box.box.key in chain)
        high += sum(one.height for one in self.links if one.link.main)
        return max(one.width for one in clusters), max(high, *(one.height for one in clusters), 0.0)


def size_graph(graph: Graph, room: float, tight: bool = False, stacked: bool = False) -> Sized:
    """Sizes every box for lettering no wider than `room`; `tight` saves height, `stacked` width."""
    # Beside a column of boxes the rest wants the room, and looks best all of one width.
    boxes = tuple(
        size_box(box, room * 0.55 if box.key in graph.column else room, tight) for box in graph.boxes
    )
    if graph.column:
        width = max((box.width for box in boxes if box.box.key not in graph.column), default=0.0)
        boxes = tuple(box if box.box.key in graph.column else widen(box, width) for box in boxes)
    links = tuple(size_link(link, max(room * 0.7, 80.0)) for link in graph.links)
    return Sized(boxes, links, graph.column, tight, stacked)


def place(sized: Sized) -> Placed:
    """Lays the graph out. Raises NoLayoutEngine where no engine can be run."""
    from countwheel.emit.graph_routes import level

    places = lay_out(dot_text(sized.boxes, sized.links, sized.column, sized.tight, sized.stacked))
    number = {box.box.key: at for at, box in enumerate(sized.boxes)}
    clusters = clusters_of(sized.boxes, sized.links, sized.stacked)
    middles: dict[str, Point] = {}
    for one in clusters:
        x, y = places.boxes[f"n{number[one.key]}"]
        left, top = x - one.width / 2, y - one.height / 2
        for member in one.members:
            middles[f"n{number[member.box.box.key]}"] = left + member.middle[0], top + member.middle[1]
    places = replace(places, boxes=middles)
    return level(Placed(sized.boxes, sized.links, sized.column, clusters, places))
