"""What a keeper calls a part: 'the great wheel of the going train', never its path in the description."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping
from functools import cache
from importlib.resources import files

from countwheel import vocabulary
from countwheel.emit.stated import has, there
from countwheel.model.clock import Clock, Train
from countwheel.model.node import Node

Chain = tuple[Node, ...]

_BY_ROLE = {"going": "going train", "strike": "striking train", "chime": "chiming train"}
_PATH = re.compile(r"(the arbors )?(?<![\w.])([a-z][\w-]*(?:\.[\w-]+)+)")


def train_name(train: Train, clock: Clock) -> str:
    """'striking train' where it is the only one of its role, else by its own name."""
    alone = len(clock.trains_of(train.role)) == 1
    return _BY_ROLE[train.role] if alone and train.role in _BY_ROLE else ending(train.name, "train")


def file_stem(name: str, number: int) -> str:
    """A name that any file system and any XML id takes; its number where nothing of it is left."""
    stem = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40].strip("-")
    return stem or str(number)


def train_stems(clock: Clock) -> tuple[tuple[Train, str], ...]:
    """Each train with the end of the ids of its drawings (`fall-STEM`), no two the same."""
    found: dict[str, Train] = {}
    for number, train in enumerate(clock.trains, start=1):
        stem = file_stem(train.name, number)
        while stem in found:
            stem = f"{stem}-{number}"
        found[stem] = train
    return tuple((train, stem) for stem, train in found.items())


def ending(name: str, word: str) -> str:
    """'third arbor'; a name that says the word already is left as it is."""
    return name if name.lower().endswith(word) else f"{name} {word}".strip()


def quoted(word: str, label: str) -> str:
    """'bell “hour”'; the word alone where there is no label, or where it says no more than the word."""
    return f"{word} “{label}”" if label and label != word else word


def gear_noun(kind: str, form: str, label: str, node: Node) -> str:
    """'great wheel', 'lantern pinion “hand”', 'worm “screw”'. What has starts is the worm itself."""
    worm = form == "worm" and (kind == "pinion" or has(node, "starts"))
    word = "worm" if worm else f"{form} {kind}".strip() if form != "external" else kind
    if label == "great":
        return f"great {word}"
    return label if label.lower().endswith(kind) else quoted(word, label)


def within(path: str, above: Container[str]) -> bool:
    """Whether the path is one of those, or of a part of one of them."""
    steps = path.split(".")
    return any(".".join(steps[:cut]) in above for cut in range(1, len(steps) + 1))


class Names:
    """The parts of one clock by what a keeper calls them."""

    def __init__(self, clock: Clock) -> None:
        self._trains = {train.name: train_name(train, clock) for train in clock.trains}
        self._dials = clock.dials
        self._several = {word for word in ("bell", "season") if len(clock.root.all(word)) > 1}
        self._chains: dict[str, list[Chain]] = {}
        for chain in _chains(clock.root, ()):
            self._chains.setdefault(chain[-1].path, []).append(chain)
        self._denied = {node.path for node in clock.root.walk() if not there(node)}
        for train in clock.trains:
            self._chains.setdefault(train.node.path, []).append((train.node,))
            for arbor in train.arbors:
                self._chains.setdefault(arbor.path, []).append((train.node, arbor.node))

    def train(self, name: str) -> str:
        return self._trains.get(name) or ending(name, "train")

    def is_denied(self, path: str) -> bool:
        """Whether the description says that there is none of it, or of what it would be a part of."""
        return within(path, self._denied)

    def owner(self, word: str) -> str:
        """What the first word of a figure's id is of: a train by its name, else the word itself."""
        if word == "dial" and len(self._dials) > 1:
            return "dials"
        if word in self._several:
            return f"{word}s"
        return self._trains.get(word) or word.replace("_", " ")

    def part(self, path: str, word: str = "") -> str:
        """For a table: 'going train, third arbor: wheel'. `word` is the fact's own, where several share a path."""
        chain, rest = self._find(path, word)
        nouns = [*self._nouns(chain), *rest]
        return ": ".join(filter(None, (", ".join(nouns[:-1]), nouns[-1]))) if nouns else ""

    def phrase(self, path: str, within: str = "", word: str = "") -> str:
        """For a sentence, after 'the': 'wheel of the third arbor of the going train'.

        The train named `within` is not said again.
        """
        chain, rest = self._find(path, word)
        if within and len(chain) > 1 and chain[0].word == "train" and chain[0].path == within:
            chain = chain[1:]
        return " of the ".join(reversed([*self._nouns(chain), *rest]))

    def in_text(self, text: str, within: str = "") -> str:
        """A figure's title with each path in it told as a keeper would tell it."""

        def told(found: re.Match[str]) -> str:
            chain, _ = self._find(found[2], "")
            return f"the {self.phrase(found[2], within)}" if chain else found[0]

        return _PATH.sub(told, text)

    def _find(self, path: str, word: str) -> tuple[Chain, list[str]]:
        """The chain of facts that a path leads to as far as it is stated, and the words left over."""
        steps = [step for step in path.split(".") if step]
        for cut in range(len(steps), 0, -1):
            found = self._chains.get(".".join(steps[:cut]))
            if found:
                after = steps[cut].replace("_", " ") if cut < len(steps) else ""
                return _choose(found, word, after), _rest(steps[cut:])
        return (), _rest(steps)

    def _nouns(self, chain: Chain) -> list[str]:
        said: list[str] = []
        for at, node in enumerate(chain):
            after = chain[at + 1] if at + 1 < len(chain) else None
            if after is None or not _unsaid(node, after):
                said.append(self._noun(node))
        return said

    def _noun(self, node: Node) -> str:
        label = node.label or ""
        match node.word:
            case "train":
                return self.train(label or node.path)
            case "arbor" | "dial":
                return ending(label, node.word)
            case "wheel" | "pinion":
                form = node.text(part="form") or node.text(part="form2") or ""
                return gear_noun(node.word, form, label, node)
        return quoted(called().get(node.word, node.word), label)


@cache
def called() -> Mapping[str, str]:
    """What a fact is called whose word in the description is no name for it."""
    text = files("countwheel.emit").joinpath("templates/manual/parts.table").read_text(encoding="utf-8")
    rows = (line.split("|") for line in text.splitlines() if line and not line.startswith("#"))
    return {word.strip(): name.strip() for word, name in rows}


def _rest(steps: list[str]) -> list[str]:
    """The words of a path that no fact is stated for."""
    words = [step.replace("_", " ").partition(" (") for step in steps]
    return [f"{called().get(word, word)}{sign}{aside}" for word, sign, aside in words]


def _chains(node: Node, before: Chain) -> Iterator[Chain]:
    for fact in node.facts:
        chain = (*before, fact)
        yield chain
        yield from _chains(fact, chain)


def _choose(found: list[Chain], word: str, after: str) -> Chain:
    """Of several facts that share a path (an arbor and its barrel) the one that is meant."""
    for chain in found:
        if word and chain[-1].word == word:
            return chain
    words = vocabulary.load()
    for chain in found:
        owner = chain[-1].word
        if after and words.may_own(owner) and after in words.under(owner):
            return chain
    return found[0]


def _unsaid(node: Node, after: Node) -> bool:
    """Whether a part need not be said before what it carries."""
    if node.word == "clock":
        return True
    if node.word == "arbor":
        return after.word in ("barrel", "fly") or (after.word == "wheel" and after.label == "great")
    return node.word == "barrel" and after.word in ("weight", "line", "fall")
