"""Formulas in print: the same tree with symbols or with numbers, as text, for typst, or as MathML."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html import escape

from countwheel.figures.formula import Bin, Call, Const, Neg, Num, Sym, Tree
from countwheel.figures.rounding import plain_fraction

MINUS = "−"
_UP = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_DOWN = {
    **dict(zip("0123456789", "₀₁₂₃₄₅₆₇₈₉", strict=True)),
    **dict(zip("aehijklmnoprstuvx", "ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓ", strict=True)),
}
_CALLS = {"agm": "AGM", "circular_ratio": "T/T₀", "asin": "arcsin", "acos": "arccos", "atan": "arctan"}

# How tightly a piece of text holds together: a sum, a product, a quotient, a power, one thing.
SUM, PRODUCT, QUOTIENT, SIGNED, POWER, ATOM = range(6)
Printed = tuple[str, int]
Leaf = Callable[[str], Printed]


def superscript(number: int) -> str:
    return str(number).translate(_UP)


def symbol_text(name: str) -> str:
    """`r_e` as rₑ, `D_1` as D₁; a long subscript, or one with no small letters, stays after a low line."""
    base, _, below = name.partition("_")
    if 0 < len(below) <= 2 and all(letter in _DOWN for letter in below):
        return base + "".join(_DOWN[letter] for letter in below)
    return name


def number_text(text: str) -> Printed:
    """How tightly a number as printed holds together: `5`, `−5`, `1/3`, `1.2 × 10⁻⁵`, `2°`."""
    if text.endswith(("°", "′")):
        return text, SIGNED if text.startswith(MINUS) else ATOM
    if "×" in text:
        return text, PRODUCT
    if text.startswith(MINUS):
        return text, SIGNED
    return text, QUOTIENT if "/" in text else ATOM


def _wrap(printed: Printed, least: int) -> str:
    text, tight = printed
    return text if tight >= least else f"({text})"


def _text(tree: Tree, leaf: Leaf) -> Printed:
    if isinstance(tree, Sym):
        return leaf(tree.name)
    if isinstance(tree, Num):
        return number_text(plain_fraction(tree.value))
    if isinstance(tree, Const):
        return ("π" if tree.name == "pi" else "1°"), ATOM
    if isinstance(tree, Neg):
        return MINUS + _wrap(_text(tree.part, leaf), POWER), SIGNED
    if isinstance(tree, Call):
        return _call_text(tree, leaf)
    left, right = _text(tree.left, leaf), _text(tree.right, leaf)
    if tree.op == "+":
        # a sign straight after a plus or a minus is put in brackets
        return f"{_wrap(left, SUM)} + {_bracket_sign(right, PRODUCT)}", SUM
    if tree.op == "-":
        return f"{_wrap(left, SUM)} {MINUS} {_bracket_sign(right, PRODUCT)}", SUM
    if tree.op == "*":
        return f"{_wrap(left, PRODUCT)} × {_bracket_sign(right, QUOTIENT)}", PRODUCT
    if tree.op == "/":
        # a × b/c reads the same from either side, so a product above the line needs no brackets
        whole = PRODUCT if left[1] == PRODUCT else QUOTIENT
        return f"{_wrap(left, PRODUCT)}/{_wrap(right, POWER)}", whole
    return _power_text(tree, left, right, leaf)


def _bracket_sign(printed: Printed, least: int) -> str:
    return f"({printed[0]})" if printed[0].startswith(MINUS) else _wrap(printed, least)


def _power_text(tree: Bin, left: Printed, right: Printed, leaf: Leaf) -> Printed:
    exponent = tree.right
    if isinstance(exponent, Neg) and isinstance(exponent.part, Num) and exponent.part.value.denominator == 1:
        up = superscript(-int(exponent.part.value))
    elif isinstance(exponent, Num) and exponent.value.denominator == 1:
        up = superscript(int(exponent.value))
    else:
        return f"{_wrap(left, ATOM)}^{_wrap(right, ATOM)}", POWER
    if isinstance(tree.left, Call) and tree.left.name in ("sin", "cos", "tan"):
        inside = _text(tree.left.args[0], leaf)[0]
        return f"{tree.left.name}{up}({inside})", POWER
    return f"{_wrap(left, ATOM)}{up}", POWER


def _call_text(tree: Call, leaf: Leaf) -> Printed:
    args = [_text(arg, leaf) for arg in tree.args]
    if tree.name == "sqrt":
        return "√" + _wrap(args[0], ATOM), POWER
    if tree.name == "abs" and "|" not in args[0][0]:
        return f"|{args[0][0]}|", ATOM
    name = _CALLS.get(tree.name, tree.name)
    return f"{name}({', '.join(text for text, _ in args)})", ATOM


def to_text(tree: Tree, numbers: Mapping[str, str] | None = None) -> str:
    """The formula in plain typography; with `numbers`, each symbol is replaced by its printed number."""
    if numbers is None:
        return _text(tree, lambda name: (symbol_text(name), ATOM))[0]
    return _text(tree, lambda name: number_text(numbers[name]))[0]


# -- typst -------------------------------------------------------------
def _typst_symbol(name: str) -> str:
    base, _, below = name.partition("_")
    main = base if len(base) == 1 else f'"{base}"'
    return f'{main}_"{below}"' if below else main


def to_typst(tree: Tree) -> str:
    """The formula in typst's mathematics, without its dollar signs."""
    if isinstance(tree, Sym):
        return _typst_symbol(tree.name)
    if isinstance(tree, Num):
        return plain_fraction(tree.value)
    if isinstance(tree, Const):
        return "pi" if tree.name == "pi" else '1 "°"'
    if isinstance(tree, Neg):
        return f"-{_typst_group(tree.part, PRODUCT)}"
    if isinstance(tree, Call):
        args = ", ".join(to_typst(arg) for arg in tree.args)
        if tree.name == "sqrt":
            return f"sqrt({args})"
        if tree.name == "abs":
            return f"abs({args})"
        known = tree.name in ("sin", "cos", "tan", "ln", "exp", "min", "max", "gcd")
        return f'{tree.name if known else f"""op("{_CALLS.get(tree.name, tree.name)}")"""}({args})'
    if tree.op == "/":
        return f"({to_typst(tree.left)})/({to_typst(tree.right)})"
    if tree.op == "^":
        return f"{_typst_group(tree.left, ATOM)}^({to_typst(tree.right)})"
    if tree.op == "*":
        left = to_typst(tree.left) if isinstance(tree.left, Neg) else _typst_group(tree.left, PRODUCT)
        return f"{left} times {_typst_group(tree.right, PRODUCT)}"
    return f"{to_typst(tree.left)} {tree.op} {_typst_group(tree.right, PRODUCT)}"


def _tightness(tree: Tree) -> int:
    if isinstance(tree, Neg):
        return SUM
    if isinstance(tree, Bin):
        return {"+": SUM, "-": SUM, "*": PRODUCT, "/": ATOM - 1, "^": POWER}[tree.op]
    return ATOM


def _typst_group(tree: Tree, least: int) -> str:
    # round brackets group without showing in typst only beside / and ^; lr() keeps them in sight
    return to_typst(tree) if _tightness(tree) >= least else f"lr(({to_typst(tree)}))"


# -- MathML ------------------------------------------------------------
def to_mathml(tree: Tree) -> str:
    """The formula as a MathML `math` element (MathML Core), for HTML."""
    return f"<math>{_ml(tree)}</math>"


def _ml_group(tree: Tree, least: int) -> str:
    inside = _ml(tree)
    return inside if _tightness(tree) >= least else f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>"


def _ml(tree: Tree) -> str:
    if isinstance(tree, Sym):
        base, _, below = tree.name.partition("_")
        main = f"<mi>{escape(base)}</mi>"
        return f"<msub>{main}<mi>{escape(below)}</mi></msub>" if below else main
    if isinstance(tree, Num):
        return f"<mn>{plain_fraction(tree.value)}</mn>"
    if isinstance(tree, Const):
        return "<mi>π</mi>" if tree.name == "pi" else "<mrow><mn>1</mn><mo>°</mo></mrow>"
    if isinstance(tree, Neg):
        return f"<mrow><mo>{MINUS}</mo>{_ml_group(tree.part, PRODUCT)}</mrow>"
    if isinstance(tree, Call):
        if tree.name == "sqrt":
            return f"<msqrt>{_ml(tree.args[0])}</msqrt>"
        args = "<mo>,</mo>".join(_ml(arg) for arg in tree.args)
        if tree.name == "abs":
            return f"<mrow><mo>|</mo>{args}<mo>|</mo></mrow>"
        name = _CALLS.get(tree.name, tree.name)
        return f"<mrow><mi>{name}</mi><mo>(</mo>{args}<mo>)</mo></mrow>"
    if tree.op == "/":
        return f"<mfrac>{_ml(tree.left)}{_ml(tree.right)}</mfrac>"
    if tree.op == "^":
        return f"<msup>{_ml_group(tree.left, ATOM)}{_ml(tree.right)}</msup>"
    sign = {"+": "+", "-": MINUS, "*": "×"}[tree.op]
    least = PRODUCT if tree.op == "*" else SUM
    right_least = SUM + 1 if tree.op == "-" else least
    left = _ml(tree.left) if isinstance(tree.left, Neg) else _ml_group(tree.left, least)
    return f"<mrow>{left}<mo>{sign}</mo>{_ml_group(tree.right, right_least)}</mrow>"
