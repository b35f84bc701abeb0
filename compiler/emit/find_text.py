"""What `find` found, for a terminal: lost counts, their candidates in order with the reasons, what to measure."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from countwheel.search.evidence import Judged
from countwheel.search.find import Clash, Findings, Found, Miss
from countwheel.search.lost import Lost
from countwheel.search.problem import Product, Sum

SHOWN = 10


def report(found: Found, width: int = 100, shown: int = SHOWN) -> str:
    """The whole report; `shown` candidates of each group at the most."""
    if not found.groups and not found.free:
        return "every count is known\n"
    lines: list[str] = []
    for group in found.groups:
        lines += [*_group(group, width, shown), ""]
    if found.free:
        lines += [*_free(found), ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def _wrapped(text: str, width: int, first: str, rest: str) -> list[str]:
    return wrap(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _group(group: Findings, width: int, shown: int) -> Iterator[str]:
    for one in group.lost:
        yield f"{one.name}  {_known(one)}"
    yield "  must hold"
    for says in dict.fromkeys(rule.says for rule in group.rules):
        yield from _wrapped(says, width, "    - ", "      ")
    yield f"  {_tally(group)}"
    if group.candidates:
        for number, candidate in enumerate(group.candidates[:shown], 1):
            yield ""
            yield from _candidate(group, candidate, number, width)
        if len(group.candidates) > shown:
            yield ""
            yield f"  and {len(group.candidates) - shown} more, each less likely (--most shows more of them)"
    else:
        yield from _none(group, width)
    yield from _measure(group, width)


def _known(one: Lost) -> str:
    """`lost; 56 to 64, even`: what is known of it, and whether the description says so."""
    said = one.limits if one.stated else f"{one.limits}, as the trade made them: nothing is stated"
    return f"{'lost; ' if one.gone else ''}{one.word} {said}"


def _tally(group: Findings) -> str:
    number = len(group.candidates)
    candidates = f"{number} candidate{'' if number == 1 else 's'}"
    combinations = f"{group.combinations:,} combination{'' if group.combinations == 1 else 's'}"
    if group.complete:
        return f"{combinations}, all of them looked at: {candidates}"
    if group.stopped == "most":
        return f"{combinations}: stopped after {candidates}; there are more. State closer limits."
    return f"{combinations}: stopped after the most steps that are allowed, with {candidates}; there may be more."


def _candidate(group: Findings, candidate: Judged, number: int, width: int) -> Iterator[str]:
    counts = ", ".join(f"{name} {count}" for name, count in candidate.counts.items())
    share = group.share(candidate)
    yield f"  {number:>2}  {counts}" + (f"   about {share:.0%} likely" if len(group.candidates) > 1 else "")
    for reason in candidate.reasons:
        if reason.text:
            yield from _wrapped(reason.text, width, "      - " if reason.against else "      + ", "        ")


def _none(group: Findings, width: int) -> Iterator[str]:
    for clash in group.clashes:
        yield from _wrapped(_why(clash), width, "  none: ", "        ")
    if group.misses:
        rule = group.misses[0].rule
        yield from _wrapped(f"nearest, if all else holds but this: {rule.says}", width, "  ", "    ")
        for miss in group.misses:
            yield "    " + _miss(miss)


def _why(clash: Clash) -> str:
    both = " and ".join(rule.says for rule in clash.rules)
    if not clash.rules:
        return "within the limits stated no count is left"
    if clash.reason.kind == "prime":
        where = "" if clash.reason.above else " below the line"
        return f"{both}: that needs the prime factor {clash.reason.prime}{where}, which no count within the limits has"
    if clash.reason.kind == "range" and clash.reason.least is not None and clash.reason.most is not None:
        rule = clash.rules[0].rule
        reach = f"from {float(clash.reason.least):.6g} to {float(clash.reason.most):.6g}"
        needs = f"{float(rule.low):.6g}" if isinstance(rule, (Product, Sum)) else "a whole number"
        return f"{both}: the counts within the limits come to what lies {reach}, and {needs} is needed"
    return f"{both}: all {clash.reason.tried:,} combinations were tried, and none does"


def _miss(miss: Miss) -> str:
    counts = ", ".join(f"{name} {count}" for name, count in miss.counts.items())
    if miss.error is not None:
        way = "fast" if miss.error > 0 else "slow"
        return f"{counts}: {abs(miss.error):.0f} s a day {way} by the beat"
    return f"{counts}: off by {100 * (miss.ratio - 1):.3g} %"


def _measure(group: Findings, width: int) -> Iterator[str]:
    if not group.measurements:
        return
    best = group.measurements[0]
    yield ""
    well = f", to {100 * best.tolerance:.1g} % or better" if best.tolerance else ""
    left = f"{best.left:.1f}".removesuffix(".0")
    text = (
        f"{best.path}: {best.what}{well}. Of {len(group.candidates)} candidates"
        f" {left} would be left on the average."
    )
    yield from _wrapped(text, width, "  measure next  ", "                ")


def _free(found: Found) -> Iterator[str]:
    yield "nothing that is stated bears on these:"
    for one, waits in found.free:
        yield f"  {one.name}  {_known(one)}" + (f"; it needs {', '.join(waits)}" if waits else "")
