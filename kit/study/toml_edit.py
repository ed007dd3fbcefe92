"""Changes to a TOML text that leave every other line as it was written: each function takes a text and returns one."""

from collections.abc import Mapping, Sequence
from typing import Any

import tomli_w
import tomlkit
from tomlkit.items import AbstractTable, Array

from kit.study.toml_rows import Path, TomlRow, find_block, find_block_end, find_lead, read_rows

LONG = 100
"""Characters: a list that takes more is written with one entry on each line."""


def spell_key(key: str) -> str:
    """Return a key as it stands before the equals sign."""
    return tomli_w.dumps({key: 0}).rpartition(" = ")[0]


def write_value(value: Any) -> str:
    """Return a value as it stands behind the equals sign."""
    if isinstance(value, Mapping):
        return (
            "{ " + ", ".join(f"{spell_key(k)} = {write_value(v)}" for k, v in value.items()) + " }" if value else "{}"
        )
    if isinstance(value, list | tuple):
        parts = [write_value(one) for one in value]
        short = f"[{', '.join(parts)}]"
        return short if len(short) <= LONG else "[\n" + "".join(f"    {part},\n" for part in parts) + "]"
    return tomli_w.dumps({"x": value}).partition(" = ")[2].removesuffix("\n")


def write_block(path: Path, table: Mapping[str, Any]) -> str:
    """Return a table with its header, and the tables within it below."""
    name = ".".join(spell_key(key) for key in path if isinstance(key, str))
    own = {k: v for k, v in table.items() if not _is_table(v)}
    header = f"[[{name}]]" if isinstance(path[-1], int) else f"[{name}]"
    lines = "".join(f"{spell_key(k)} = {write_value(v)}\n" for k, v in own.items())
    parts = [f"{header}\n{lines}"] if own or isinstance(path[-1], int) or not table else []
    for key, value in table.items():
        if key not in own:
            parts += write_blocks((*path, key), value)
    return "\n".join(parts)


def write_blocks(path: Path, value: Any) -> list[str]:
    """Return the blocks of a table, or of each table of an array."""
    tables = [(path, value)] if isinstance(value, Mapping) else [((*path, i), one) for i, one in enumerate(value)]
    return [write_block(*one) for one in tables]


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping) or (
        isinstance(value, list | tuple) and bool(value) and all(isinstance(one, Mapping) for one in value)
    )


def find_entry(rows: Sequence[TomlRow], path: Path) -> TomlRow | None:
    """Return the entry that holds a key: its own, or that of the table around it which is written on one line."""
    return next((row for row in rows if row.kind == "entry" and row.path == path[: len(row.path)]), None)


def is_there(text: str, path: Path) -> bool:
    """Return True if a key or a table is written anywhere in the text."""
    rows = read_rows(text)
    return find_entry(rows, path) is not None or any(row.path[: len(path)] == path for row in rows if row.path)


def put_value(text: str, path: Path, old: Any, new: Any) -> str:
    """Put a new value in the place of an old one, which stands in an entry of its own or within one."""
    row = find_entry(read_rows(text), path)
    if row is None:
        return add(remove(text, path), path, new, ())
    start, end = row.value
    written = text[start:end]
    inner = path[len(row.path) :]
    if not inner and not isinstance(new, Mapping | list | tuple):
        return text[:start] + _quote_alike(written, new) + text[end:]
    holder = tomlkit.parse(f"x = {written}\n")
    _patch(holder, ("x", *inner), old, new)
    return text[:start] + holder.as_string().removesuffix("\n").removeprefix("x = ") + text[end:]


def _quote_alike(written: str, new: Any) -> str:
    """Return a plain value, in single quotes where the old one stood in them and the new one allows it."""
    single = written.startswith("'") and not written.startswith("'''")
    if single and isinstance(new, str) and "'" not in new and new.isprintable():
        return f"'{new}'"
    return write_value(new)


def _patch(holder: Any, path: Path, old: Any, new: Any) -> None:
    """Change a value within what tomlkit read, entry by entry where both are tables or lists."""
    for key in path[:-1]:
        holder = holder[key]
    last = path[-1]
    there = holder[last] if not isinstance(holder, Mapping) or last in holder else None
    if isinstance(there, AbstractTable) and isinstance(new, Mapping):
        before = old if isinstance(old, Mapping) else {}
        for key in [key for key in before if key not in new and key in there]:
            del there[key]
        for key, value in new.items():
            if key not in before or before[key] != value:
                _patch(there, (key,), before.get(key), value)
    elif isinstance(there, Array) and isinstance(new, list | tuple) and isinstance(old, list | tuple):
        _patch_list(there, old, new)
    else:
        holder[last] = list(new) if isinstance(new, tuple) else new


def _patch_list(there: Array, old: Sequence[Any], new: Sequence[Any]) -> None:
    """Change a list where it differs, between what its beginning and its end have in common."""
    if len(there) != len(old):
        old = [None] * len(there)
    shared = min(len(old), len(new))
    head = next((i for i in range(shared) if old[i] != new[i]), shared)
    rest = shared - head
    tail = next((i for i in range(rest) if old[-1 - i] != new[-1 - i]), rest)
    both = min(len(old), len(new)) - head - tail
    for i in range(head, head + both):
        _patch(there, (i,), old[i], new[i])
    for i in reversed(range(head + both, len(old) - tail)):
        del there[i]
    for i in range(head + both, len(new) - tail):
        there.insert(i, new[i])


def remove(text: str, path: Path) -> str:
    """Take a key or a table away, with everything below it; comments above a key stay, those above a table go."""
    rows = read_rows(text)
    row = find_entry(rows, path)
    if row is not None and row.path != path:
        holder = tomlkit.parse(f"x = {text[slice(*row.value)]}\n")
        inside: Any = holder["x"]
        for key in path[len(row.path) : -1]:
            inside = inside[key]
        if path[-1] in inside:
            del inside[path[-1]]
        return text[: row.value[0]] + holder.as_string().removesuffix("\n").removeprefix("x = ") + text[row.value[1] :]
    gone = set()
    for i, one in enumerate(rows):
        if one.path[: len(path)] != path or not one.path:
            continue
        if one.kind == "entry":
            gone.add(i)
        else:
            first = find_lead(rows, i)
            gone |= set(range(_skip_blank(rows, first), find_block_end(rows, i)))
    return "".join(text[one.start : one.end] for i, one in enumerate(rows) if i not in gone)


def _skip_blank(rows: Sequence[TomlRow], first: int) -> int:
    while first and rows[first - 1].kind == "blank":
        first -= 1
    return first


def add(text: str, path: Path, value: Any, before: Sequence[str]) -> str:
    """Add a key where its table is, or a table behind those that come before it.

    Parameters
    ----------
    text
        The text.
    path
        Where the value belongs.
    value
        The value.
    before
        Keys of the same table that come before it in a study file.
    """
    rows = read_rows(text)
    table = path[:-1]
    if find_entry(rows, table) is not None and table:
        return put_value(text, path, None, value)
    if _is_table(value):
        return _add_blocks(text, rows, path, value, before)
    line = f"{spell_key(str(path[-1]))} = {write_value(value)}\n"
    head = next((i for i, row in enumerate(rows) if row.kind == "header" and row.path == table), None)
    mine = [row for row in rows if row.kind == "entry" and row.path[:-1] == table]
    if mine:
        prefix = text[mine[-1].start : mine[-1].value[0]]
        indent = prefix[: len(prefix) - len(prefix.lstrip())]
        dotted = prefix.strip().rpartition("=")[0].rstrip()
        stem = dotted.removesuffix(spell_key(str(mine[-1].path[-1])))
        return text[: mine[-1].end] + indent + (stem if stem != dotted else "") + line + text[mine[-1].end :]
    if head is not None:
        return text[: rows[head].end] + line + text[rows[head].end :]
    if not table:
        first = next((find_lead(rows, i) for i, row in enumerate(rows) if row.kind == "header"), len(rows))
        place = rows[first].start if first < len(rows) else len(text)
        return text[:place] + line + "\n" + text[place:]
    return _add_blocks(text, rows, table, {str(path[-1]): value}, before)


def _add_blocks(text: str, rows: Sequence[TomlRow], path: Path, value: Any, before: Sequence[str]) -> str:
    """Add a table, or an array of tables, behind the last table that comes before it."""
    blocks = "\n".join(write_blocks(path, value))
    inside = find_block(rows, path)
    if inside is not None and isinstance(value, Mapping):  # only tables below it are there: it goes before them
        place = rows[inside[0]].start
        return text[:place] + blocks + "\n" + text[place:]
    found = [find_block(rows, (*path[:-1], key)) for key in before]
    last = max((block[1] for block in found if block is not None), default=None)
    if last is None and len(path) > 1:
        around = find_block(rows, path[:-1])
        head = next((i for i, row in enumerate(rows) if row.kind == "header" and row.path == path[:-1]), None)
        last = find_block_end(rows, head) if head is not None else around[1] if around else len(rows)
    if last is None:
        first = next((find_lead(rows, i) for i, row in enumerate(rows) if row.kind == "header"), len(rows))
        if first < len(rows):
            return text[: rows[first].start] + blocks + "\n" + text[rows[first].start :]
        last = len(rows)
    place = rows[last - 1].end
    return text[:place] + "\n" + blocks + text[place:]


def arrange(text: str, path: Path, order: Sequence[int | Mapping[str, Any]]) -> str:
    """Leave of an array of tables the entries with the given numbers, in that order; write new ones between them.

    Where the order is kept, each stays in its place, and a new one comes behind the one before it.
    """
    rows = read_rows(text)
    count = 1 + max(
        int(row.path[len(path)]) for row in rows if len(row.path) > len(path) and row.path[: len(path)] == path
    )
    blocks = [find_block(rows, (*path, i)) for i in range(count)]
    spans = [(rows[b[0]].start, rows[b[1] - 1].end) for b in blocks if b is not None]
    kept = [one for one in order if isinstance(one, int)]
    if kept != sorted(kept):
        return _lay_out(text, path, spans, order)
    behind: dict[int, list[str]] = {}
    last = -1
    for one in order:
        if isinstance(one, int):
            last = one
        else:
            behind.setdefault(last, []).append(write_block((*path, 0), one))
    for i in reversed(range(-1, count)):
        new = "".join("\n" + block for block in behind.get(i, ()))
        if i < 0:
            if new:
                text = text[: spans[0][0]] + new.removeprefix("\n") + "\n" + text[spans[0][0] :]
            continue
        start, end = spans[i]
        if i in kept:
            text = text[:end] + new + text[end:]
        else:
            while text[:start].endswith("\n\n"):
                start -= 1
            text = text[:start] + new + text[end:]
    return text


def _lay_out(text: str, path: Path, spans: Sequence[tuple[int, int]], order: Sequence[int | Mapping[str, Any]]) -> str:
    """Write the entries in another order where the first of them stood."""
    blocks = [text[slice(*spans[one])] if isinstance(one, int) else write_block((*path, 0), one) for one in order]
    for start, end in reversed(spans[1:]):
        begin = start
        while text[:begin].endswith("\n\n"):
            begin -= 1
        text = text[:begin] + text[end:]
    return text[: spans[0][0]] + "\n".join(blocks) + text[spans[0][1] :]
