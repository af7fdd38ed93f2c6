"""A calendar as a tree of components, read strictly, for the checker alone."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

_NAME = re.compile(r"[A-Z0-9-]+")
_PARAMETER = re.compile(r';([A-Z0-9-]+)=("[^"]*"|[^";:,]*)')


@dataclass(frozen=True)
class Problem:
    """One thing wrong: a code and a sentence."""

    code: str
    text: str


@dataclass(frozen=True)
class Property:
    """One content line, taken apart; the value is as written."""

    name: str
    parameters: dict[str, str]
    value: str


@dataclass
class Component:
    """BEGIN to END: properties and the components inside."""

    name: str
    properties: list[Property] = field(default_factory=list)
    children: list[Component] = field(default_factory=list)

    def all(self, name: str) -> list[Property]:
        """The properties of that name, in order."""
        return [p for p in self.properties if p.name == name]

    def value(self, name: str) -> str:
        """The value of the first property of that name, or an empty text."""
        return next((p.value for p in self.properties if p.name == name), "")

    def parts(self, name: str) -> list[Component]:
        """The components of that name directly inside."""
        return [c for c in self.children if c.name == name]


def parse(content: bytes) -> Component:
    """The one component that the bytes hold; ValueError says which line does not fit."""
    text = re.sub(r"\r\n[ \t]", "", content.decode("utf-8"))
    outside = Component("")
    open_ones = [outside]
    for number, written in enumerate(text.split("\r\n"), start=1):
        if not written:
            continue
        prop = _property(written, number)
        if prop.name == "BEGIN":
            inner = Component(prop.value)
            open_ones[-1].children.append(inner)
            open_ones.append(inner)
        elif prop.name == "END":
            if open_ones.pop().name != prop.value or not open_ones:
                raise ValueError(f"line {number}: END:{prop.value} closes nothing")
        elif len(open_ones) == 1:
            raise ValueError(f"line {number}: outside any component")
        else:
            open_ones[-1].properties.append(prop)
    if len(open_ones) != 1 or len(outside.children) != 1:
        raise ValueError("not exactly one component from BEGIN to END")
    return outside.children[0]


def _property(written: str, number: int) -> Property:
    name = _NAME.match(written)
    if not name:
        raise ValueError(f"line {number}: no property name")
    at, parameters = name.end(), {}
    while found := _PARAMETER.match(written, at):
        parameters[found[1]] = found[2].strip('"')
        at = found.end()
    if written[at : at + 1] != ":":
        raise ValueError(f"line {number}: no value after {name[0]}")
    return Property(name[0], parameters, written[at + 1 :])
