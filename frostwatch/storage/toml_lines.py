"""Where in a TOML file each table and each of its fields stands; the parser does not say."""

import re
from collections import defaultdict

Path = tuple[str | int, ...]

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_FIELD = re.compile(r"""\s*("[^"]*"|'[^']*'|[\w-]+)(\s*\.[\w\s."'-]+)?\s*=""")


class TomlLines:
    """Lines of tables and fields by their path, e.g. ``("vehicle", 3, "water", 0)``."""

    def __init__(self, text: str) -> None:
        self._tables: dict[Path, int] = {}
        self._fields: dict[tuple[Path, str], int] = {}
        self._counts: dict[Path, int] = defaultdict(int)
        self._scan(text)

    def _scan(self, text: str) -> None:
        path: Path = ()
        inside = ""
        for number, line in enumerate(text.splitlines(), 1):
            if not inside:
                header = _HEADER.fullmatch(line)
                if header:
                    path = self._path(header[2].split("."), is_list=header[1] == "[[")
                    self._tables.setdefault(path, number)
                elif field := _FIELD.match(line):
                    self._fields.setdefault((path, field[1].strip("\"'")), number)
            inside = _still_inside(line, inside)

    def _path(self, names: list[str], *, is_list: bool) -> Path:
        path: Path = ()
        for depth, raw in enumerate(names, 1):
            path = (*path, raw.strip().strip("\"'"))
            last = depth == len(names)
            if last and is_list:
                self._counts[path] += 1
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        return path

    def line(self, path: Path, field: str = "") -> int:
        """Line of a field, else of its table, else of the nearest table around it; 1 at worst."""
        if field and (path, field) in self._fields:
            return self._fields[path, field]
        for inner in ((*path, field), (*path, field, 0)):
            if field and inner in self._tables:
                return self._tables[inner]
        while path:
            if path in self._tables:
                return self._tables[path]
            parent = path[:-1]
            if isinstance(path[-1], str) and (parent, path[-1]) in self._fields:
                return self._fields[parent, path[-1]]
            path = parent
        return 1


def _still_inside(line: str, inside: str) -> str:
    """Which triple quote is open after a line, "" for none."""
    for quote in re.findall(r'"""|\'\'\'', line):
        if not inside:
            inside = quote
        elif inside == quote:
            inside = ""
    return inside
