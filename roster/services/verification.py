"""All comparisons of derived tables with their facts, as `verify` and `upgrade` run them."""

from __future__ import annotations

from collections.abc import Callable

from roster.services import clearance, day_tables
from roster.store.consistency import Difference

CHECKS: list[Callable[[], list[Difference]]] = [clearance.checked, day_tables.checked]
