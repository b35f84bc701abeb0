"""Formulas: exact arithmetic, derivatives, print."""

from __future__ import annotations

import math
from fractions import Fraction

import mpmath  # type: ignore[import-untyped]
import pytest
from countwheel.figures import typography
from countwheel.figures.formula import FUNCTIONS, Formula, FormulaError, formula
from figure_reading import number
from hypothesis import given, settings
from hypothesis import strategies as st

NUMBERS = st.integers(1, 400)
ATOMS = st.one_of(
    st.sampled_from(["a", "b", "c"]),
    st.integers(1, 60).map(str),
    st.sampled_from(["0.5", "2.75", "pi"]),
)


def _grow(parts: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.tuples(parts, st.sampled_from("+-*/"), parts).map(lambda p: f"({p[0]} {p[1]} {p[2]})"),
        parts.map(lambda p: f"(-{p})"),
        st.tuples(parts, st.sampled_from(["2", "3", "-1"])).map(lambda p: f"(({p[0]})**{p[1]})"),
        st.tuples(st.sampled_from(["sin", "cos", "atan", "abs"]), parts).map(lambda p: f"{p[0]}({p[1]})"),
        parts.map(lambda p: f"sqrt(1 + abs({p}))"),
        st.tuples(parts, parts).map(lambda p: f"max({p[0]}, {p[1]})"),
    )


FORMULAS = st.recursive(ATOMS, _grow, max_leaves=9)
RATIONAL = st.recursive(
    st.one_of(st.sampled_from(["a", "b", "c"]), st.integers(1, 99).map(str)),
    lambda parts: st.tuples(parts, st.sampled_from("+-*/"), parts).map(lambda p: f"({p[0]} {p[1]} {p[2]})"),
    max_leaves=10,
)


@given(RATIONAL, NUMBERS, NUMBERS, NUMBERS)
@settings(max_examples=150, deadline=None)
def test_whole_numbers_stay_exact(text: str, a: int, b: int, c: int) -> None:
    env = {"a": Fraction(a), "b": Fraction(b), "c": Fraction(c)}
    exactly = "".join(f"F({part})" if part.isdigit() else part for part in _tokens(text))
    try:
        expected = eval(exactly, {"F": Fraction, **env})
    except ZeroDivisionError:
        with pytest.raises(ZeroDivisionError):
            formula(text).work(env)
        return
    value, _ = formula(text).work(env)
    assert isinstance(value, Fraction)
    assert value == expected


def _tokens(text: str) -> list[str]:
    import re

    return re.findall(r"\d+|\D", text)


@given(FORMULAS, st.floats(0.2, 3), st.floats(0.2, 3), st.floats(0.2, 3))
@settings(max_examples=200, deadline=None)
def test_derivatives_are_those_found_by_small_steps(text: str, a: float, b: float, c: float) -> None:
    read = formula(text)
    env = {"a": a, "b": b, "c": c}
    try:
        value, slopes = read.work(env, frozenset("abc"))
        for name in read.symbols:
            step = 1e-5
            ends = [read.quick({**env, name: env[name] + k * step}) for k in (-2, -1, 1, 2)]
            halves = (ends[2] - ends[1]) / (2 * step)
            wide = (ends[3] - ends[0]) / (4 * step)
            numeric = (4 * halves - wide) / 3
            before, after = (float(value) - ends[1]) / step, (ends[2] - float(value)) / step
            if abs(after - before) > 1e-2 * (1 + abs(halves)) or abs(halves - wide) > 1e-4 * (
                1 + abs(halves)
            ):
                continue  # a corner of abs or max, or too steep to be judged by steps
            noise = 1e-9 * (abs(float(value)) + 1) / step * 1e-1
            assert slopes.get(name, 0.0) == pytest.approx(numeric, rel=1e-4, abs=1e-6 + noise)
    except (ZeroDivisionError, OverflowError):
        return


@given(FORMULAS, st.integers(1, 50), st.integers(1, 50), st.integers(1, 50))
@settings(max_examples=300, deadline=None)
def test_what_is_printed_is_what_is_worked_out(text: str, a: int, b: int, c: int) -> None:
    read = formula(text)
    numbers = {"a": str(a), "b": str(b), "c": f"−{c}"}
    env = {"a": float(a), "b": float(b), "c": -float(c)}
    printed = typography.to_text(read.tree, numbers)
    try:
        expected = read.quick(dict(env))
    except (ZeroDivisionError, ValueError, OverflowError):
        return
    if abs(expected) > 1e12:
        return
    assert number(printed) == pytest.approx(expected, rel=1e-9, abs=1e-9), printed


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_slopes_of_every_function(name: str) -> None:
    function = FUNCTIONS[name]
    at = [0.6, 0.35][: 2 if function.arity in (2, -1) else 1]
    if name in ("gcd", "lcm"):
        at = [12, 18]
    if name.endswith("_tip"):
        at = [32.0, 2.1, 0.6]
    slopes = function.slopes(*at)
    for i, slope in enumerate(slopes):
        if name in ("gcd", "lcm", "floor", "ceil"):
            assert slope == 0
            continue
        found = mpmath.diff(lambda x, i=i: float(function.of(*at[:i], float(x), *at[i + 1 :])), at[i], h=1e-5)
        assert slope == pytest.approx(float(found), rel=1e-5, abs=1e-9)


def test_agm_is_that_of_mpmath() -> None:
    for a, b in ((1, 0.5), (1, 1e-3), (24, 6), (3, 3)):
        assert float(FUNCTIONS["agm"].of(a, b)) == pytest.approx(float(mpmath.agm(a, b)), rel=1e-15)


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("(D + d)/2", "(D + d)/2"),
        ("g*T**2/(4*pi**2)", "g × T²/(4 × π²)"),
        ("sqrt(a**2 + b**2)", "√(a² + b²)"),
        ("W*g*r_e/(n*η**k)", "W × g × rₑ/(n × η^k)"),
        ("86400*(1/agm(1, cos(a/2)) - 1)", "86400 × (1/AGM(1, cos(a/2)) − 1)"),
        ("a - (b - c)", "a − (b − c)"),
        ("-a**2", "−a²"),
        ("(-a)**2", "(−a)²"),
        ("a/(b/c)", "a/(b/c)"),
        ("sin(x)**2", "sin²(x)"),
        ("0.866*d", "0.866 × d"),
        ("K_line", "K_line"),
    ],
)
def test_typography(text: str, printed: str) -> None:
    assert typography.to_text(formula(text).tree) == printed


def test_typst_and_mathml_hold_every_symbol() -> None:
    tree = formula("W*g*r_e/(n*sqrt(η)) - abs(F_1)").tree
    assert typography.to_typst(tree) == '(W times g times r_"e")/(n times sqrt(η)) - abs(F_"1")'
    mathml = typography.to_mathml(tree)
    for piece in ("<mi>W</mi>", "<msub><mi>r</mi><mi>e</mi></msub>", "<msqrt><mi>η</mi></msqrt>"):
        assert piece in mathml


@pytest.mark.parametrize("text", ["a if b else c", "a.b", "__import__('os')", "f(a)", "a[0]", "'x'", "a < b"])
def test_only_arithmetic_is_read(text: str) -> None:
    with pytest.raises((FormulaError, ValueError)):
        Formula(text)


def test_degree() -> None:
    assert formula("2*degree").work({})[0] == pytest.approx(math.radians(2))
