"""What the forms of the day send: numbers of spots, one or many."""

from __future__ import annotations

from flask import request

from roster.domain.errors import BadInput
from roster.domain.reasons import Reason

HERE = "here-"


def spots(name: str = "spot") -> tuple[int, ...]:
    """The ticked spots of a form, in order, each once; BadInput for what is no number."""
    return tuple(dict.fromkeys(_number(name, said) for said in request.form.getlist(name)))


def here() -> dict[int, bool]:
    """For each spot that was answered whether the person is here (fields `here-NUMBER`)."""
    found = {}
    for field, said in request.form.items():
        if field.startswith(HERE):
            if said not in ("yes", "no"):
                raise BadInput(field, said, Reason("bad_choice", {"value": said[:40]}))
            found[_number(field, field.removeprefix(HERE))] = said == "yes"
    return found


def number(name: str) -> float:
    """A number that was typed; BadInput for anything else."""
    said = request.form.get(name, "").strip()
    try:
        return float(said)
    except ValueError:
        raise BadInput(name, said, Reason("bad_number", {"value": said[:40]})) from None


def _number(name: str, said: str) -> int:
    if not said.isascii() or not said.isdigit() or len(said) > 15:
        raise BadInput(name, said, Reason("bad_number", {"value": said[:40]}))
    return int(said)
