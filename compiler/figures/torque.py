"""Turning force from arbor to arbor, from the barrel to the escape wheel or the fly; force on the teeth."""

from __future__ import annotations

from typing import NamedTuple

from countwheel.figures.book import Book, Term, constant
from countwheel.figures.drive import Drive, drives
from countwheel.figures.remontoire import Remontoire
from countwheel.figures.train import module_term, rate_id, teeth
from countwheel.model.clock import Mesh, Train

# From 0.93 to 0.98 of the work passes through a pair of clock wheels with their pivots, where nothing is
# stated: an assumption, as no measurement on turret clocks was found. A worm's loss is from memory.
MESH, MESH_U = 0.955, 0.0144
WORM, WORM_U = 0.40, 0.115
RANGE = "0.93 to 0.98, its pivots counted in: common practice, no source"
LEVERS = "mechanics: turning force goes as teeth of the driven over teeth of the driver"
LOADED = (
    "Under its weight a train turns the moment that nothing holds it. The weight is let down or blocked,"
    " by somebody who knows how, before anything of the train is taken out."
)
AT_MOST = (
    "The most that could come on it: the whole pull, with nothing taken by the rest of the train, as when"
    " what it drives is held fast."
)


class Hands(NamedTuple):
    """Where on the way to the escape wheel the hands' way leaves the train, and what share it takes there.

    `turned_by` is the arbor that turns the hands, `path` that of the way to them.
    """

    arbor: str
    share: Term
    turned_by: str
    path: str


def work_out(book: Book) -> None:
    """Figures `T.ARBOR.torque`, `T.ARBOR.torque.ideal`, `T.MESH.tooth_force`, `leading_off.torque`.

    After work.py, whose turning force at the barrel they begin from, and remontoire.py.
    """
    for drive in drives(book):
        if drive.barrel.has("weight") and drive.train.barrel_arbor is not None:
            _train(book, drive)


# -- the way through a train -------------------------------------------
def main_way(train: Train) -> tuple[Mesh, ...]:
    """The pairs from the barrel's arbor to the escape wheel's, or the fly's, in order; () where none leads there."""
    start = train.barrel_arbor
    end = train.escape_arbor or next((arbor for arbor in train.arbors if arbor.fly is not None), None)
    if start is None or end is None:
        return ()
    return way_between(train, start.path, end.path)


def way_between(train: Train, start: str, end: str) -> tuple[Mesh, ...]:
    """The pairs by which one arbor drives another; () where it does not, or is the same."""
    came: dict[str, Mesh] = {}
    reached = [start]
    neighbours = train.neighbours()
    for here in reached:
        for mesh, other, driven in neighbours.get(here, ()):
            if driven and other not in reached:
                came[other] = mesh
                reached.append(other)
    way: list[Mesh] = []
    while end in came:
        way.insert(0, came[end])
        end = came[end].driver_arbor
    return tuple(way)


def mesh_efficiency(book: Book, train: Train, mesh: Mesh | None = None) -> Term:
    """How much of the work passes a pair of wheels: as stated for the train, else assumed with its range."""
    if mesh is not None and mesh.form == "worm":
        return constant(WORM, "", "efficiency of a worm and its wheel", WORM_U, "from memory", assumed=True)
    node = train.node.get("efficiency of a mesh")
    stated = book.fact(node, f"{train.name}.efficiency_of_a_mesh", "efficiency of a pair of wheels", "")
    if stated.known:
        return stated
    return constant(MESH, "", "efficiency of a pair of wheels", MESH_U, RANGE, assumed=True)


def hands_of(book: Book, train: Train) -> Hands | None:
    """What the hands take of the train, where a way to them says so."""
    drum = train.barrel_arbor
    for way in book.clock.leading_off:
        share = way.node.get("takes")
        path = (way.from_path or "").lower()
        arbor = next(
            (one for one in train.arbors if path == one.path or path.startswith(f"{one.path}.")), None
        )
        if share is None or arbor is None or drum is None:
            continue
        what = "share of the turning force there that the hands and the way to them take"
        passed = [drum.path, *(mesh.driven_arbor for mesh in main_way(train))]
        climb = [
            arbor.path,
            *(mesh.driver_arbor for mesh in reversed(way_between(train, drum.path, arbor.path))),
        ]
        where = next((one for one in climb if one in passed), drum.path)
        return Hands(where, book.fact(share, share.path, what, ""), arbor.path, way.node.path)
    return None


# -- turning force -----------------------------------------------------
def _train(book: Book, drive: Drive) -> None:
    train = drive.train
    start = train.barrel_arbor
    assert start is not None
    for name in ("torque.ideal", "torque"):
        # the first stays: an arbor named otherwise than `barrel` gets the barrel's figure under its own name
        book.derive(
            f"{start.path}.{name}",
            f"turning force at {start.path}{', without losses' if name == 'torque.ideal' else ''}",
            "M",
            {"M": book.use(f"{drive.id}.barrel.{name}", "N·m")},
            unit="N·m",
            symbol="M",
            source=LEVERS,
        )
    remontoire = Remontoire.of(book, train)
    stop = remontoire.driven.path if remontoire and remontoire.driven else ""
    hands = hands_of(book, train)
    _spread(book, train, start.path, stop, hands)
    if remontoire is not None and stop and book.has(f"{remontoire.id}.torque"):
        _after_remontoire(book, remontoire, stop)
        _spread(book, train, stop, "", hands)
    if hands is not None:
        _leading_off(book, hands)


def _after_remontoire(book: Book, remontoire: Remontoire, path: str) -> None:
    for name in ("torque.ideal", "torque"):
        book.derive(
            f"{path}.{name}",
            f"turning force at {path}, from the remontoire",
            "M",
            {"M": book.use(f"{remontoire.id}.torque", "N·m")},
            unit="N·m",
            symbol="M",
            source="mechanics: work over the angle turned",
            method="The remontoire's weight alone; how hard the going weight pulls is not felt here.",
        )


def _spread(book: Book, train: Train, start: str, stop: str, hands: Hands | None) -> None:
    neighbours = train.neighbours()
    onward = {mesh.driven_arbor for mesh in main_way(train)}
    reached = [start]
    for here in reached:
        for mesh, other, driven in neighbours.get(here, ()):
            # past a worm, which gives way to no push from the far side, it would be a number that nothing bears
            if not driven or other == stop or mesh.form == "worm" or book.has(f"{other}.torque"):
                continue
            left = hands.share if hands and hands.arbor == here and other in onward else None
            _pair(book, train, mesh, other, left, other in onward)
            reached.append(other)


def _pair(book: Book, train: Train, mesh: Mesh, other: str, taken: Term | None, onward: bool) -> None:
    here = mesh.driver_arbor
    counts = {
        "z_1": teeth(book, mesh.driver.node, f"teeth of {mesh.driver.path}"),
        "z_2": teeth(book, mesh.driven.node, f"teeth of {mesh.driven.path}"),
    }
    book.derive(
        f"{other}.torque.ideal",
        f"turning force at {other}, without losses",
        "M_1*z_2/z_1",
        {"M_1": book.use(f"{here}.torque.ideal", "N·m"), **counts},
        unit="N·m",
        symbol="M_2",
        source=LEVERS,
        method="Teeth alone, as if nothing rubbed." if onward else AT_MOST,
    )
    force = book.use(f"{here}.torque", "N·m")
    where = {"M_1": force, **counts, "η": mesh_efficiency(book, train, mesh)}
    text, method = "M_1*z_2/z_1*η", "Each pair of wheels, with its pivots, keeps back a part."
    if taken is not None:
        where["s"] = taken
        text, method = "M_1*(1 - s)*z_2/z_1*η", method + " The hands have taken their share before."
    if train.role in ("strike", "chime"):
        method += " While the train runs and no hammer is on the lift."
    book.derive(
        f"{other}.torque",
        f"turning force at {other}",
        text,
        where,
        unit="N·m",
        symbol="M_2",
        source=LEVERS,
        method=method if onward else f"{AT_MOST} {method}",
        cautions=(LOADED,),
    )
    _tooth_force(book, mesh, force, counts, taken, onward)


def _tooth_force(
    book: Book, mesh: Mesh, force: Term, counts: dict[str, Term], taken: Term | None, onward: bool
) -> None:
    """Along the tangent of the pitch circles; nothing where no size of the teeth is stated."""
    if mesh.form in ("chain", "crossed cord", "open cord"):
        return
    where = {"M": force}
    left = "M"
    if taken is not None:
        where["s"] = taken
        left = "M*(1 - s)"
    module = module_term(book, mesh.driver.node) or module_term(book, mesh.driven.node)
    if module is None:
        return
    where |= {"m": module, "z_1": counts["z_1"]}
    book.derive(
        f"{mesh.path}.tooth_force",
        f"force between the teeth of {mesh.driver.path} and {mesh.driven.path}",
        f"2000*{left}/(m*z_1)",
        where,
        unit="N",
        symbol="F",
        source="mechanics: turning force over the radius of the pitch circle",
        method=("" if onward else f"{AT_MOST} ")
        + "Along the tangent of the pitch circles, on one tooth; the slant of the tooth adds to it.",
    )


def _leading_off(book: Book, hands: Hands) -> None:
    """The turning force that the hands take, at the arbor that turns them."""
    arbor, source = hands.turned_by, hands.arbor
    if not book.has(f"{source}.torque") or not (book.has(rate_id(arbor)) and book.has(rate_id(source))):
        return
    where = {"s": hands.share, "M": book.use(f"{source}.torque", "N·m")}
    text = "s*M"
    if arbor != source:
        where |= {"n_1": book.use(rate_id(source), "turns/h"), "n_2": book.use(rate_id(arbor), "turns/h")}
        text = "s*M*n_1/n_2"
    book.derive(
        f"{hands.path}.torque",
        f"turning force that the hands and the way to them take at {arbor}",
        text,
        where,
        unit="N·m",
        symbol="H",
        source=LEVERS,
        method="In still air. Wind and ice ask for more, and at times push.",
    )
