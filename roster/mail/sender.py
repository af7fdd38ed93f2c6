"""The port: whatever can carry a message away."""

from __future__ import annotations

from email.message import EmailMessage
from typing import Protocol


class DeliveryError(Exception):
    """The message did not leave; `for_good` when another try cannot help.

    `unsure` when the line broke while it was being handed over: it may have arrived.
    """

    def __init__(self, text: str, *, for_good: bool, unsure: bool = False) -> None:
        self.for_good, self.unsure = for_good, unsure
        super().__init__(text)


class Sender(Protocol):
    """Carries one message to its one recipient; raises DeliveryError if it does not leave."""

    def send(self, message: EmailMessage) -> None:
        """Hand the message over; a return means that the next station has it."""


def recipient(message: EmailMessage) -> str:
    """The one address in To; ValueError if there is not exactly one."""
    addresses = message["To"].addresses
    if len(addresses) != 1 or message["Cc"] or message["Bcc"]:
        raise ValueError("a message goes to exactly one recipient")
    return str(addresses[0].addr_spec)
