"""Pure live seed: how much of a seed lot can grow, and what follows for weights and prices."""

from __future__ import annotations

from roster.domain.ranges import at_least, within

SQUARE_FEET_PER_ACRE = 43_560


def pure_live_seed(purity_pct: float, viability_pct: float) -> float:
    """Pure live seed in percent, unrounded: purity times viability.

    Viability is germination plus dormant or hard seed. An X-ray's share of filled seed is not it.
    """
    purity = within("purity", purity_pct, 0, 100)
    return purity * within("viability", viability_pct, 0, 100) / 100


def bulk_weight(pls_weight: float, purity_pct: float, viability_pct: float) -> float | None:
    """The weight of uncleaned lot that holds a weight of pure live seed, in the same unit.

    None where nothing in the lot can grow: no weight of it would do.
    """
    share = pure_live_seed(purity_pct, viability_pct) / 100
    return at_least("pls_weight", pls_weight, 0) / share if share else None


def price_per_pls(bulk_price: float, purity_pct: float, viability_pct: float) -> float | None:
    """The price of a weight of pure live seed, from the price of that weight of the lot."""
    return bulk_weight(at_least("bulk_price", bulk_price, 0), purity_pct, viability_pct)


def live_seeds_per_square_foot(pls_lb_per_acre: float, seeds_per_lb: float) -> float:
    """Live seeds on a square foot at a sowing rate in pounds of pure live seed an acre."""
    rate = at_least("pls_lb_per_acre", pls_lb_per_acre, 0)
    return rate * at_least("seeds_per_lb", seeds_per_lb, 0) / SQUARE_FEET_PER_ACRE
