"""Limits of how often somebody may ask; rows, so that all web processes count together."""

from __future__ import annotations

import hashlib
import hmac
from ipaddress import ip_address

from roster.services.clock import machine_now
from roster.services.tokens import key_of
from roster.store import rates


def within(name: str, who: str, most: int, seconds: int) -> bool:
    """Count one more try of `who` and tell whether it is within `most` in a window of seconds.

    What is kept of `who` (an address of mail or network) is a keyed hash, never itself.
    """
    return rates.counted(f"{name}|{_kept(who)}", machine_now(), seconds) <= most


def block_of(address: str | None) -> str:
    """The block of network addresses that one household or attacker has: /24, or /64 for IPv6."""
    try:
        found = ip_address(address or "")
    except ValueError:
        return "unknown"
    return found.exploded.rsplit(".", 1)[0] if found.version == 4 else found.exploded[:19]


def _kept(who: str) -> str:
    return hmac.digest(key_of("rates"), who.encode("utf-8", "replace"), hashlib.sha256).hex()[:32]
