"""Values taken out of a document one by one, each with its path for the error."""

from __future__ import annotations

from math import isfinite

from roster.planning.problem import Range

TWICE = "\0twice"
"""Key under which a reader of JSON may leave the name of a field that an object gives twice."""


class Malformed(ValueError):
    """A value that the planner cannot use: where it stands, what is wrong, what to do."""

    def __init__(self, path: str, value: object, text: str, remedy: str) -> None:
        self.path, self.value, self.text, self.remedy = path, value, text, remedy
        super().__init__(f"{path or 'the document'}: {shown(value)} {text}.")


def shown(value: object) -> str:
    """The value, short enough for one line."""
    if isinstance(value, dict | list):
        return f"a{'n object' if isinstance(value, dict) else ' list'} of {len(value)}"
    said = repr(value)
    return said if len(said) <= 60 else f"{said[:57]}..."


class Fields:
    """An object of the document, which knows its own path."""

    def __init__(self, path: str, value: object) -> None:
        if not isinstance(value, dict):
            raise Malformed(path, value, "is not an object", "Write an object { ... } here.")
        self.path = path
        self._held: dict[str, object] = value
        if TWICE in value:
            raise Malformed(self._at(str(value[TWICE])), value[TWICE], "is given twice",
                            "Keep one of the two.")  # fmt: skip

    def _at(self, name: str) -> str:
        return f"{self.path}.{name}" if self.path else name

    def only(self, *needed: str, optional: tuple[str, ...] = ()) -> None:
        """Raises if a needed field is missing or an unknown one is there."""
        for name in needed:
            if name not in self._held:
                raise Malformed(self._at(name), None, "is missing", f"Add the field {name}.")
        if len(self._held) > len(needed):
            for name in self._held:
                if name not in needed and name not in optional:
                    known = ", ".join((*needed, *optional))
                    raise Malformed(self._at(name), self._held[name], "is under an unknown name",
                                    f"The fields here are: {known}.")  # fmt: skip

    def __contains__(self, name: str) -> bool:
        return name in self._held

    def __getitem__(self, name: str) -> object:
        return self._held[name]

    def get(self, name: str, otherwise: object) -> object:
        """The field, or what stands for it if it is absent."""
        return self._held.get(name, otherwise)

    def number(self, name: str, low: float = 0.0, high: float = 1e9) -> float:
        """The field as a finite number between the two."""
        return number(self._at(name), self._held[name], low, high)

    def whole(self, name: str, low: int, high: int) -> int:
        """The field as a whole number between the two."""
        return whole(self._at(name), self._held[name], low, high)

    def text(self, name: str) -> str:
        """The field as a text of 1 to 500 characters."""
        return text(self._at(name), self._held[name])


def number(path: str, value: object, low: float, high: float) -> float:
    """The value as a finite number between the two."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Malformed(path, value, "is not a number", _between(low, high))
    if not low <= value <= high or not isfinite(value):
        raise Malformed(path, value, "is out of range", _between(low, high))
    return float(value)


def whole(path: str, value: object, low: int, high: int) -> int:
    """The value as a whole number between the two."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise Malformed(path, value, "is not a whole number", _between(low, high))
    if not low <= value <= high:
        raise Malformed(path, value, "is out of range", _between(low, high))
    return value


def _between(low: float, high: float) -> str:
    return f"Give a number from {low:g} to {high:g}."


def text(path: str, value: object) -> str:
    """The value as a text of 1 to 500 characters."""
    if not isinstance(value, str):
        raise Malformed(path, value, "is not a text", 'Write it in quotation marks: "...".')
    if not 1 <= len(value) <= 500:
        raise Malformed(path, value, "is empty or too long", "Give 1 to 500 characters.")
    return value


def items(path: str, value: object, most: int) -> list[object]:
    """The value as a list with at most so many entries."""
    if not isinstance(value, list):
        raise Malformed(path, value, "is not a list", "Write a list [ ... ] here.")
    if len(value) > most:
        remedy = f"Give at most {most:,} entries; plan a larger season in parts."
        raise Malformed(path, value, "is too long", remedy)
    return value


def whole_list(path: str, value: object, high: int) -> tuple[int, ...]:
    """The value as whole numbers from 0 on."""
    found = items(path, value, 100_000)
    return tuple(whole(f"{path}[{i}]", v, 0, high) for i, v in enumerate(found))


def day_ranges(path: str, value: object) -> tuple[Range, ...]:
    """The value as inclusive pairs of days, in order; they may reach beyond the season."""
    found: list[Range] = []
    for i, pair in enumerate(items(path, value, 1000)):
        at = f"{path}[{i}]"
        if not isinstance(pair, list) or len(pair) != 2:
            raise Malformed(at, pair, "is not a pair of days", "Write [first, last].")
        first = whole(f"{at}[0]", pair[0], -100_000, 100_000)
        last = whole(f"{at}[1]", pair[1], -100_000, 100_000)
        if last < first:
            raise Malformed(at, pair, f"ends on day {last} before it begins on day {first}",
                            "Write the earlier day first.")  # fmt: skip
        if found and first < found[-1][0]:
            raise Malformed(at, pair, "begins before the range in front of it",
                            "Sort the ranges by their first day.")  # fmt: skip
        found.append((first, last))
    return tuple(found)
