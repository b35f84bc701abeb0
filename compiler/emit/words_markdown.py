"""The vocabulary as Markdown: the printed language reference."""

from __future__ import annotations

from countwheel.forms import form
from countwheel.vocabulary import EVERYWHERE, Entry, load


def reference() -> str:
    """Every block with its words: how each is written, what it means, what else is read for it."""
    words = load()
    parts = []
    for owner in words.owners:
        if owner == EVERYWHERE:
            continue
        entries = list(dict.fromkeys(words.owners[owner].values()))
        if owner in words.loose:
            entries.append(words.loose[owner])
        title = "The file itself" if owner == "movement" else f"`{owner}`"
        parts.append(f"### {title}\n\n" + _table(entries))
    parts.append("### Everywhere\n\n" + _table(list(dict.fromkeys(words.owners[EVERYWHERE].values()))))
    for name, choices in words.choices.items():
        rows = [
            f"| {entry.word} | {entry.meaning} | {', '.join(entry.also)} |"
            for entry in dict.fromkeys(choices.values())
        ]
        parts.append(
            f"### One of the {name}\n\n| word | means | also read |\n|---|---|---|\n" + "\n".join(rows) + "\n"
        )
    return "\n".join(parts)


def _table(entries: list[Entry]) -> str:
    rows = []
    for entry in entries:
        written = f"{entry.word if entry.fixed else ''} {form(entry.takes)}".strip().replace("|", "\\|")
        need = {"": "", "together": " (wanted with its fellows)"}.get(entry.need, " (wanted)")
        meaning = entry.meaning + need
        rows.append(f"| `{written}` | `{entry.example}` | {meaning} | {', '.join(entry.also)} |")
    return "| written | example | means | also read |\n|---|---|---|---|\n" + "\n".join(rows) + "\n"
