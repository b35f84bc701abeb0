"""Which arbors go on which sheet of an elevation, and how high each lies. Nothing here is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from countwheel.emit.face_layout import crossing_length, pallet_distance, reach
from countwheel.emit.pitch_sizes import Sizes
from countwheel.emit.stated import all_there, there
from countwheel.emit.train_tree import Pair, Tree
from countwheel.model.clock import Arbor, Clock, Train

#: Arbors on one sheet, so that the labels have room.
_MOST = 8
_HUNG = 2


class Chain(NamedTuple):
    """Arbors that drive one another in a row, from `first` on. `hung` are driven by the first beside the row, `across`
    stand at a right angle to one of them. `whole` is False where the first is drawn in full on another sheet."""

    first: Arbor
    pairs: tuple[Pair, ...] = ()
    hung: tuple[Pair, ...] = ()
    across: tuple[Pair, ...] = ()
    whole: bool = True

    def arbors(self) -> Iterator[Arbor]:
        yield self.first
        for pair in (*self.pairs, *self.hung, *self.across):
            yield pair.driven


class Row(NamedTuple):
    """An arbor `y` above the first of its chain, with all that reaches `up` and `down` from it: mm of the clock."""

    arbor: Arbor
    y: float
    up: float
    down: float
    whole: bool = True
    hung: bool = False


def chains_of(tree: Tree) -> list[list[Chain]]:
    """The chains of a train sheet by sheet: what the power goes through first, then what else is driven."""
    todo: list[tuple[Arbor, tuple[Pair, ...], bool]] = []
    for root in tree.roots:
        todo.append((root, tuple(tree.main_line(root)), True))
    chains: list[Chain] = []
    later: list[Chain] = []
    roots = len(todo)
    at = 0
    while at < len(todo):
        first, pairs, whole = todo[at]
        chain, more = _chain(tree, first, pairs, whole)
        (chains if at < roots else later).append(chain)
        todo += more
        at += 1
    return [*_packed(chains), *_packed(later)]


def _chain(
    tree: Tree, first: Arbor, pairs: tuple[Pair, ...], whole: bool
) -> tuple[Chain, list[tuple[Arbor, tuple[Pair, ...], bool]]]:
    """The chain, and what hangs on it that must be drawn apart."""
    more: list[tuple[Arbor, tuple[Pair, ...], bool]] = []
    if len(pairs) >= _MOST:
        sheets = -(-len(pairs) // (_MOST - 1))
        here = -(-len(pairs) // sheets)
        more.append((pairs[here - 1].driven, pairs[here:], False))
        pairs = pairs[:here]
    hung: list[Pair] = []
    across: list[Pair] = []
    arbors = [first, *(pair.driven for pair in pairs)] if whole else [pair.driven for pair in pairs]
    split = more[0][0].path if more else ""
    for arbor in arbors:
        for pair in tree.pairs_of(arbor):
            if pair in pairs or (arbor.path == split and pair in more[0][1]):
                continue
            after = tree.pairs_of(pair.driven)
            if pair.way == "across":
                across.append(pair)
                if after:
                    more.append((pair.driven, tuple(tree.main_line(pair.driven)), True))
            elif arbor is first and len(hung) < _HUNG and all(_ends(tree, one) for one in after):
                hung.append(pair)
                across += after
            else:
                more.append((arbor, (pair, *tree.main_line(pair.driven)), False))
    return Chain(first, pairs, tuple(hung), tuple(across), whole), more


def _ends(tree: Tree, pair: Pair) -> bool:
    return pair.way == "across" and not tree.pairs_of(pair.driven)


def _packed(chains: list[Chain]) -> list[list[Chain]]:
    sheets: list[list[Chain]] = []
    many = _MOST + 1
    for chain in chains:
        size = len(list(chain.arbors()))
        if many + size > _MOST:
            sheets.append([])
            many = 0
        sheets[-1].append(chain)
        many += size
    return sheets


def rows_of(chain: Chain, sizes: Sizes, clock: Clock) -> tuple[Row, ...]:
    """The arbors of a chain from the first upwards, then those that hang below it."""
    rows = [_row(chain, chain.first, 0.0, sizes, clock)]
    for pair in chain.pairs:
        rows.append(_row(chain, pair.driven, rows[-1].y + sizes.distance(pair).radius, sizes, clock))
    for pair in chain.hung:
        row = _row(chain, pair.driven, -sizes.distance(pair).radius, sizes, clock)
        rows.append(row._replace(hung=True))
    return tuple(rows)


def _row(chain: Chain, arbor: Arbor, y: float, sizes: Sizes, clock: Clock) -> Row:
    whole = chain.whole or arbor is not chain.first
    wide = reach(sizes, arbor)
    if not whole:
        drives = [
            sizes.of(pair.driver, pair.mesh.driver).radius for pair in chain.pairs if pair.driver is arbor
        ]
        wide = max(drives, default=wide)
    up = down = wide
    if there(arbor.escape) is not None and there(clock.escapement) is not None and whole:
        up = max(up, pallet_distance(clock, sizes, arbor)[0] + sizes.taken * 2)
    for pair in chain.across:
        if pair.driver.path == arbor.path:
            far = sizes.of(arbor, pair.mesh.driver).radius + crossing_length(pair, sizes)
            up, down = (max(up, far), down) if goes_up(chain, pair) else (up, max(down, far))
    return Row(arbor, y, up, down, whole)


def goes_up(chain: Chain, pair: Pair) -> bool:
    """Whether a crossing arbor is drawn upwards: where nothing else stands above its driver."""
    last = chain.pairs[-1].driven if chain.pairs else chain.first
    return pair.driver is last


class Jack(NamedTuple):
    """A pair of winding wheels, the driver at `y`: radii in mm of the clock, taken to fit beside the great wheel."""

    driver: float
    driven: float
    y: float
    counts: tuple[int, int]


def jacks_of(train: Train, sizes: Sizes, chain: Chain) -> tuple[Jack, ...]:
    """The winding wheels below a barrel's arbor, the pair on the barrel first."""
    if not chain.whole or there(chain.first.barrel) is None:
        return ()
    winding = train.fact("winding")
    counts = [
        (driver, driven)
        for node in (all_there(winding, "jack") if winding is not None and there(winding) else ())
        if (driver := node.count(part="driver")) and (driven := node.count(part="driven"))
    ]
    apart = sum(driver + driven for driver, driven in counts) / 2
    if not apart:
        return ()
    module = min(sizes.taken, 0.8 * (sizes.largest(chain.first) or sizes.taken * 60) / apart)
    found: list[Jack] = []
    y = 0.0
    for driver, driven in reversed(counts):
        y -= (driver + driven) / 2 * module
        found.append(Jack(driver / 2 * module, driven / 2 * module, y, (driver, driven)))
    return tuple(found)
