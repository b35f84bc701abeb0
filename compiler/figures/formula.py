"""A formula as data: read from a line of text, worked out with its derivatives, printed elsewhere.

The notation is that of an ordinary expression: `86400 * (1 / agm(1, cos(a / 2)) - 1)`.
Python's own `ast` reads it, so precedence is what everyone expects; only the
handful of shapes below are let through. A name is a symbol (`D`, `r_e`, `α`),
or one of the constants `pi` and `degree`. Decimal numbers in the text are exact.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import lru_cache
from types import CodeType
from typing import Any, NamedTuple

from countwheel.figures.epicycloid import epicycloid_tip, slopes, trundle_tip

Numeric = Fraction | float
Gradient = dict[str, float]

CONSTANTS: dict[str, float] = {"pi": math.pi, "π": math.pi, "degree": math.pi / 180}
_NAMED = {"π": "pi"}


class Num(NamedTuple):
    """A number written in the formula itself."""

    value: Fraction


class Sym(NamedTuple):
    """A symbol, whose value the caller gives."""

    name: str


class Const(NamedTuple):
    """`pi` or `degree`."""

    name: str


class Neg(NamedTuple):
    part: Tree


class Bin(NamedTuple):
    """`op` is one of + - * / ^."""

    op: str
    left: Tree
    right: Tree


class Call(NamedTuple):
    name: str
    args: tuple[Tree, ...]


Tree = Num | Sym | Const | Neg | Bin | Call


# -- functions ---------------------------------------------------------
def agm(a: Numeric, b: Numeric) -> float:
    """Arithmetic-geometric mean of two positive numbers (Gauss): settles in about five rounds."""
    x, y = float(a), float(b)
    if x <= 0 or y <= 0:
        raise ValueError("the mean of Gauss needs positive numbers")
    for _ in range(60):
        if abs(x - y) <= 4e-16 * abs(x):
            break
        x, y = 0.5 * (x + y), math.sqrt(x * y)
    return x


def _agm_slopes(a: float, b: float) -> tuple[float, float]:
    """Derivatives of agm by carrying them through the same rounds."""
    x, y, xa, xb, ya, yb = a, b, 1.0, 0.0, 0.0, 1.0
    for _ in range(60):
        if abs(x - y) <= 4e-16 * abs(x) and abs(xa - ya) + abs(xb - yb) < 1e-15:
            break
        root = math.sqrt(x * y)
        x, y, xa, xb, ya, yb = (
            0.5 * (x + y),
            root,
            0.5 * (xa + ya),
            0.5 * (xb + yb),
            (xa * y + x * ya) / (2 * root),
            (xb * y + x * yb) / (2 * root),
        )
    return xa, xb


def circular_ratio(a: Numeric) -> float:
    """Period at half arc `a` (radians) over that at no arc: 2 K(sin a/2)/π = 1/agm(1, cos a/2)."""
    return 1.0 / agm(1.0, math.cos(float(a) / 2))


def _circular_slope(a: float) -> float:
    c = math.cos(a / 2)
    return 0.5 * math.sin(a / 2) * _agm_slopes(1.0, c)[1] / agm(1.0, c) ** 2


def _whole(x: Numeric) -> int:
    if x != int(x):
        raise ValueError("a whole number is needed")
    return int(x)


def gcd(a: Numeric, b: Numeric) -> Fraction:
    return Fraction(math.gcd(_whole(a), _whole(b)))


def lcm(a: Numeric, b: Numeric) -> Fraction:
    return Fraction(math.lcm(_whole(a), _whole(b)))


class Function(NamedTuple):
    """`exact` functions keep fractions as they are. `slopes` gives one derivative an argument."""

    of: Callable[..., Numeric]
    slopes: Callable[..., tuple[float, ...]]
    arity: int
    exact: bool = False


def _pick(choose: Callable[..., Any], *args: float) -> tuple[float, ...]:
    at = args.index(choose(args))
    return tuple(1.0 if i == at else 0.0 for i in range(len(args)))


FUNCTIONS: dict[str, Function] = {
    "sqrt": Function(math.sqrt, lambda x: (0.5 / math.sqrt(x),), 1),
    "sin": Function(math.sin, lambda x: (math.cos(x),), 1),
    "cos": Function(math.cos, lambda x: (-math.sin(x),), 1),
    "tan": Function(math.tan, lambda x: (1 / math.cos(x) ** 2,), 1),
    "asin": Function(math.asin, lambda x: (1 / math.sqrt(1 - x * x),), 1),
    "acos": Function(math.acos, lambda x: (-1 / math.sqrt(1 - x * x),), 1),
    "atan": Function(math.atan, lambda x: (1 / (1 + x * x),), 1),
    "ln": Function(math.log, lambda x: (1 / x,), 1),
    "exp": Function(math.exp, lambda x: (math.exp(x),), 1),
    "agm": Function(agm, _agm_slopes, 2),
    "circular_ratio": Function(circular_ratio, lambda a: (_circular_slope(a),), 1),
    "abs": Function(abs, lambda x: (math.copysign(1.0, x),), 1, exact=True),
    "min": Function(min, lambda *a: _pick(min, *a), -1, exact=True),
    "max": Function(max, lambda *a: _pick(max, *a), -1, exact=True),
    "floor": Function(lambda x: Fraction(math.floor(x)), lambda x: (0.0,), 1, exact=True),
    "ceil": Function(lambda x: Fraction(math.ceil(x)), lambda x: (0.0,), 1, exact=True),
    "gcd": Function(gcd, lambda a, b: (0.0, 0.0), 2, exact=True),
    "lcm": Function(lcm, lambda a, b: (0.0, 0.0), 2, exact=True),
    "epicycloid_tip": Function(
        lambda *at: epicycloid_tip(*map(float, at)), lambda *at: slopes(epicycloid_tip, *at), 3
    ),
    "trundle_tip": Function(
        lambda *at: trundle_tip(*map(float, at)), lambda *at: slopes(trundle_tip, *at), 3
    ),
}

_OPS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "^"}


class FormulaError(ValueError):
    """A formula of ours that cannot be read: a fault of the program, not of a description."""


def _read(node: ast.expr, text: str) -> Tree:
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return Num(Fraction(ast.get_source_segment(text, node) or str(node.value)))
    if isinstance(node, ast.Name):
        name = _NAMED.get(node.id, node.id)
        return Const(name) if name in CONSTANTS else Sym(name)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return Neg(_read(node.operand, text))
    if isinstance(node, ast.BinOp) and type(node.op) in _OPS:
        return Bin(_OPS[type(node.op)], _read(node.left, text), _read(node.right, text))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        function = FUNCTIONS.get(node.func.id)
        args = tuple(_read(arg, text) for arg in node.args)
        if function and (function.arity in (-1, len(args))) and args:
            return Call(node.func.id, args)
    raise FormulaError(f"cannot read {ast.get_source_segment(text, node)!r} in the formula {text!r}")


def _symbols(tree: Tree, into: dict[str, None]) -> None:
    if isinstance(tree, Sym):
        into[tree.name] = None
    elif isinstance(tree, Neg):
        _symbols(tree.part, into)
    elif isinstance(tree, Bin):
        _symbols(tree.left, into)
        _symbols(tree.right, into)
    elif isinstance(tree, Call):
        for arg in tree.args:
            _symbols(arg, into)


# -- working out -------------------------------------------------------
def _power(base: Numeric, exponent: Numeric) -> Numeric:
    if isinstance(exponent, Fraction) and exponent.denominator == 1:
        return base ** int(exponent)
    return math.pow(float(base), float(exponent))


def _add(into: Gradient, grad: Gradient, scale: float) -> Gradient:
    for name, slope in grad.items():
        into[name] = into.get(name, 0.0) + scale * slope
    return into


def _work(tree: Tree, env: Mapping[str, Numeric], active: frozenset[str]) -> tuple[Numeric, Gradient]:
    """The value of `tree` and its derivative to each active symbol, both in one walk."""
    if isinstance(tree, Sym):
        return env[tree.name], ({tree.name: 1.0} if tree.name in active else {})
    if isinstance(tree, Num):
        return tree.value, {}
    if isinstance(tree, Const):
        return CONSTANTS[tree.name], {}
    if isinstance(tree, Neg):
        value, grad = _work(tree.part, env, active)
        return -value, _add({}, grad, -1.0)
    if isinstance(tree, Bin):
        return _work_pair(tree, env, active)
    worked = [_work(arg, env, active) for arg in tree.args]
    function = FUNCTIONS[tree.name]
    values = [value for value, _ in worked]
    result = function.of(*values)
    out: Gradient = {}
    if any(grad for _, grad in worked):
        slopes = function.slopes(*(float(value) for value in values))
        for slope, (_, grad) in zip(slopes, worked, strict=True):
            _add(out, grad, slope)
    return result, out


def _work_pair(tree: Bin, env: Mapping[str, Numeric], active: frozenset[str]) -> tuple[Numeric, Gradient]:
    left, left_grad = _work(tree.left, env, active)
    right, right_grad = _work(tree.right, env, active)
    op = tree.op
    out: Gradient = {}
    if op == "+":
        return left + right, _add(_add(out, left_grad, 1.0), right_grad, 1.0)
    if op == "-":
        return left - right, _add(_add(out, left_grad, 1.0), right_grad, -1.0)
    if op == "*":
        value = left * right
        if left_grad or right_grad:
            _add(_add(out, left_grad, float(right)), right_grad, float(left))
        return value, out
    if op == "/":
        value = left / right
        if left_grad or right_grad:
            _add(_add(out, left_grad, 1.0 / float(right)), right_grad, -float(value) / float(right))
        return value, out
    value = _power(left, right)
    if left_grad:
        _add(out, left_grad, float(right) * math.pow(float(left), float(right) - 1))
    if right_grad:
        _add(out, right_grad, float(value) * math.log(float(left)))
    return value, out


# -- as Python, for quick repeated work --------------------------------
def _python(tree: Tree) -> str:
    if isinstance(tree, Num):
        value = tree.value
        return f"({value.numerator}/{value.denominator})"
    if isinstance(tree, (Sym, Const)):
        return tree.name
    if isinstance(tree, Neg):
        return f"(-{_python(tree.part)})"
    if isinstance(tree, Bin):
        op = "**" if tree.op == "^" else tree.op
        return f"({_python(tree.left)}{op}{_python(tree.right)})"
    return f"{tree.name}({','.join(_python(arg) for arg in tree.args)})"


_NAMESPACE: dict[str, Any] = {
    "__builtins__": {},
    **CONSTANTS,
    **{name: function.of for name, function in FUNCTIONS.items()},
}


class Formula:
    """A formula that has been read. Made by `formula(text)`, which keeps each text read once."""

    __slots__ = ("_code", "symbols", "text", "tree")

    def __init__(self, text: str) -> None:
        self.text = text
        self.tree = _read(ast.parse(text.strip(), mode="eval").body, text.strip())
        found: dict[str, None] = {}
        _symbols(self.tree, found)
        self.symbols = tuple(found)
        self._code: CodeType | None = None

    def work(
        self, env: Mapping[str, Numeric], active: frozenset[str] = frozenset()
    ) -> tuple[Numeric, Gradient]:
        """Value and derivatives to the `active` symbols. A Fraction where every term is exact.

        Raises ZeroDivisionError, ValueError or OverflowError where the numbers do not allow it.
        """
        return _work(self.tree, env, active)

    def quick(self, env: dict[str, Numeric]) -> float:
        """The value alone, in floating point, by compiled code."""
        if self._code is None:
            self._code = compile(_python(self.tree), "<formula>", "eval")
        return float(eval(self._code, _NAMESPACE, env))


@lru_cache(maxsize=4096)
def formula(text: str) -> Formula:
    """Read a formula; the same text is read only once."""
    return Formula(text)
