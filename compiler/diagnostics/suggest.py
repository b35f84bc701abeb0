"""Which known word was meant? One is named only where it is truly near."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str], limit: int = 1) -> tuple[str, ...]:
    """At most `limit` words of `known` that are near `word`, the nearest first.

    Near is: the same letters but for capitals; the same but for hyphens,
    spaces and underscores; or so few slips of the pen (a letter too many, too
    few, wrong, or two neighbours changed over) that they are at most a third
    of the word's length. One slip is always forgiven in a word of three
    letters or more, none in a shorter one. Words that are still
    equally near come in alphabetical order, so the answer never depends on the order of `known`.
    """
    plain = _plain(word)
    bare = plain.replace(" ", "")
    if not bare or limit < 1:
        return ()
    allowed = max(1, len(plain) // 3) if len(plain) >= 3 else 0
    found: list[tuple[int, int, bool, str]] = []
    for candidate in set(known):
        other = _plain(candidate)
        if other == plain:
            slips = 0 if candidate.casefold() == word.casefold() else 1
        elif other.replace(" ", "") == bare:
            slips = 1
        elif allowed and abs(len(other) - len(plain)) <= allowed:
            distance = slips_between(plain, other, allowed)
            if distance is None:
                continue
            slips = 1 + distance
        else:
            continue
        # Between equals: a letter left out or changed over is likelier than a wrong one, and
        # people rarely get the first letter wrong.
        found.append((slips, _letters_apart(plain, other), other[:1] != plain[:1], candidate))
    found.sort()
    return tuple(candidate for *_, candidate in found[:limit])


def _plain(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())


def _letters_apart(one: str, two: str) -> int:
    return sum(abs(one.count(letter) - two.count(letter)) for letter in {*one, *two})


def slips_between(one: str, two: str, most: int) -> int | None:
    """How many slips of the pen part two words; None where there are more than `most`.

    The restricted Damerau-Levenshtein distance (optimal string alignment): letters put in, left out,
    changed, or two neighbours changed over, no part of the word being touched twice. After
    F. J. Damerau, 'A technique for computer detection and correction of spelling errors',
    Communications of the ACM 7 (1964) 171-176.
    """
    if abs(len(one) - len(two)) > most:
        return None
    # One slip brings in one letter at most that was nowhere in the word, and takes one out: few words are left.
    if len(set(one).difference(two)) > most or len(set(two).difference(one)) > most:
        return None
    # What both begin and end with needs no thought, and most words share much.
    while one and two and one[-1] == two[-1]:
        one, two = one[:-1], two[:-1]
    start = 0
    while start < len(one) and start < len(two) and one[start] == two[start]:
        start += 1
    one, two = one[start:], two[start:]
    if not one or not two:
        distance = len(one) + len(two)
        return distance if distance <= most else None
    before: list[int] = []
    row = list(range(len(two) + 1))
    for i, letter in enumerate(one, 1):
        before, last = row, before
        row = [i]
        for j, other in enumerate(two, 1):
            best = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == two[j - 2] and one[i - 2] == other:
                best = min(best, last[j - 2] + 1)
            row.append(best)
        if min(row) > most and min(before) > most:
            return None
    return row[-1] if row[-1] <= most else None
