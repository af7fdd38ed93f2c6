"""A limit on a route: how often one block of network addresses may ask it in a time."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from flask import request
from werkzeug.exceptions import TooManyRequests

from roster.services import limits

F = TypeVar("F", bound=Callable[..., Any])


def limited(
    name: str, most: int, minutes: int, methods: tuple[str, ...] = ("POST",)
) -> Callable[[F], F]:
    """Answer 429 once a block of addresses asked more than `most` times in `minutes`."""

    def wrap(view: F) -> F:
        @wraps(view)
        def counted(*args: Any, **kwargs: Any) -> Any:
            block = limits.block_of(request.remote_addr)
            if request.method in methods and not limits.within(name, block, most, minutes * 60):
                raise TooManyRequests(retry_after=minutes * 60)
            return view(*args, **kwargs)

        return counted  # type: ignore[return-value]

    return wrap
