"""The page on dependencies says what is used, why, and under which licence; the libraries themselves are asked."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable
from importlib import metadata
from pathlib import Path

import pytest
from packaging.licenses import canonicalize_license_expression
from packaging.utils import canonicalize_name as canonical
from supply_reading import MADE_FOR, PAGE, ROOT, Row, asked_for, brought_by, tables

LICENCES, *TABLES = tables(PAGE.read_text(encoding="utf-8"))
RUNNING, RUNNING_TOO, DEV, DEV_TOO, BENCH, BENCH_TOO = TABLES
TAKEN_FOR = {row.name: row.licence for row in LICENCES}
# Loaded by no import of ours: one is started as a program, the other is data that `zoneinfo` reads.
NOT_IMPORTED = {"graphviz-pure", "tzdata"}
# What the libraries' own words come to in SPDX's, where they give no expression. "BSD" alone leaves open which.
WORDS = {
    "MIT": {"MIT"},
    "MIT License": {"MIT"},
    "BSD": {"BSD-2-Clause", "BSD-3-Clause"},
    "BSD License": {"BSD-2-Clause", "BSD-3-Clause"},
    "BSD-3-Clause": {"BSD-3-Clause"},
    "3-Clause BSD License": {"BSD-3-Clause"},
    "Apache": {"Apache-2.0"},
    "Apache 2.0": {"Apache-2.0"},
    "Apache-2.0": {"Apache-2.0"},
    "Apache Software License": {"Apache-2.0"},
    "MIT OR Apache-2.0": {"MIT", "Apache-2.0"},
    "MPL-2.0": {"MPL-2.0"},
    "Mozilla Public License 2.0 (MPL 2.0)": {"MPL-2.0"},
    "Mozilla Public License 1.1 (MPL 1.1)": {"MPL-1.1"},
    "GNU General Public License v2 or later (GPLv2+)": {"GPL-2.0-or-later"},
    "GNU Lesser General Public License v2 or later (LGPLv2+)": {"LGPL-2.1-or-later"},
}
here = pytest.mark.skipif(
    (sys.platform, *sys.version_info[:2]) != MADE_FOR,
    reason="what is needed in turn is told of Python 3.11 on Linux",
)


def installed(name: str) -> bool:
    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def named(rows: Iterable[Row]) -> list[str]:
    return [row.name for row in rows]


def licences(expression: str) -> set[str]:
    return set(re.split(r" (?:AND|OR) ", expression))


@pytest.mark.parametrize(("extra", "table"), [(None, RUNNING), ("dev", DEV), ("bench", BENCH)])
def test_what_is_asked_for_is_what_stands_in_the_table(extra: str | None, table: list[Row]) -> None:
    assert named(table) == list(dict.fromkeys(named(table)))
    assert set(named(table)) == {canonical(one.name) for one in asked_for(extra)}


@here
def test_what_those_need_in_turn_stands_in_the_tables() -> None:
    """Which of several asks for it changes from release to release: one that does is enough."""
    running = brought_by(asked_for())
    dev = brought_by(asked_for("dev"))
    assert set(named(RUNNING_TOO)) == running.keys() - set(named(RUNNING))
    assert set(named(DEV_TOO)) == dev.keys() - running.keys() - set(named(DEV))
    for rows, found in ((RUNNING_TOO, running), (DEV_TOO, dev)):
        assert named(rows) == sorted(named(rows))
        for row in rows:
            assert set(row.why.split(", ")) & found[row.name], row.name


@here
@pytest.mark.skipif(not installed("weasyprint"), reason="the bench extra is not installed")
def test_what_the_benchmark_needs_in_turn_stands_in_its_table() -> None:
    others = brought_by([*asked_for(), *asked_for("dev")])
    bench = brought_by(asked_for("bench"))
    assert set(named(BENCH_TOO)) == bench.keys() - others.keys() - set(named(BENCH))
    for row in BENCH_TOO:
        assert set(row.why.split(", ")) & bench[row.name], row.name


@pytest.mark.parametrize("row", [row for table in TABLES for row in table], ids=lambda row: row.name)
def test_each_has_a_reason_and_the_licence_that_it_gives_itself(row: Row) -> None:
    assert row.why.strip()
    assert canonicalize_license_expression(row.licence) == row.licence
    if not installed(row.name):
        pytest.skip(f"{row.name} is not installed")
    about = metadata.metadata(row.name)
    if expression := about.get("License-Expression"):
        assert row.licence == canonicalize_license_expression(expression)
        return
    classes = [
        text.split(" :: ")[-1]
        for text in about.get_all("Classifier") or []
        if text.startswith("License :: OSI Approved ::")
    ]
    # The field may hold the whole text of a licence, which says no more than the class does.
    told = [WORDS[text] for text in classes or [about.get("License", "")]]
    assert licences(row.licence) <= set().union(*told)
    assert all(licences(row.licence) & one for one in told)
    if any({"BSD-2-Clause", "BSD-3-Clause"} <= one for one in told):
        assert row.licence == which_bsd(row.name)


def which_bsd(name: str) -> str:
    """By the licence's own text: the third clause forbids to advertise with the authors' names."""
    texts = [
        Path(str(file.locate())).read_text(encoding="utf-8")
        for file in metadata.files(name) or []
        if ".dist-info" in str(file) and re.match(r"(licen[cs]e|copying)", file.name, re.IGNORECASE)
    ]
    assert texts, f"{name} carries no licence"
    return "BSD-3-Clause" if re.search(r"endorse\s+or\s+promote", texts[0]) else "BSD-2-Clause"


def test_each_licence_may_be_taken_for_what_it_is_taken_for() -> None:
    """Of several to choose from, one that may be taken is enough; of several that all hold, each must be."""
    may = {
        "running": {"running"},
        "program": {"running", "program"},
        "development": {"running", "program", "development"},
    }
    assert set(TAKEN_FOR.values()) <= may.keys()
    for rows, use in (
        *((table, "running") for table in (RUNNING, RUNNING_TOO)),
        *((table, "development") for table in (DEV, DEV_TOO, BENCH, BENCH_TOO)),
    ):
        for row in rows:
            allowed = may["program" if row.name == "graphviz-pure" else use]
            for each in row.licence.split(" AND "):
                assert any(TAKEN_FOR.get(canonical(one)) in allowed for one in each.split(" OR ")), row


def test_no_licence_is_told_of_that_nothing_has() -> None:
    used = {canonical(one) for table in TABLES for row in table for one in licences(row.licence)}
    assert set(TAKEN_FOR) <= used


def test_the_program_is_not_imported() -> None:
    """The licence of graphviz-pure is taken for a program of its own."""
    assert "graphviz-pure" not in imported(ROOT / "compiler")


def test_what_the_compiler_imports_is_asked_for_by_name_and_the_other_way_round() -> None:
    assert imported(ROOT / "compiler") - {"countwheel"} == set(named(RUNNING)) - NOT_IMPORTED


def test_what_the_tests_import_is_asked_for_by_name() -> None:
    assert imported(ROOT / "tests") - {"countwheel"} <= set(named(RUNNING) + named(DEV) + named(BENCH))


def imported(folder: Path) -> set[str]:
    """The distributions whose modules the files of a folder import, or ask for with `importorskip`."""
    owners = {
        module: {canonical(name) for name in names}
        for module, names in metadata.packages_distributions().items()
    }
    found: set[str] = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            for module in modules(node):
                first = module.split(".")[0]
                if first not in sys.stdlib_module_names:
                    found |= owners.get(first, set())
    return found


def modules(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module and not node.level:
        return [node.module]
    if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "importorskip":
        return [str(argument.value) for argument in node.args[:1] if isinstance(argument, ast.Constant)]
    return []
