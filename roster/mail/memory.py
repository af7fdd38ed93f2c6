"""The harmless twin: keeps messages in a list, and refuses on demand."""

from __future__ import annotations

from email.message import EmailMessage

from roster.mail.sender import DeliveryError, recipient


class MemorySender:
    """Remembers what was sent, in order; `refusals` are raised first, one a message."""

    def __init__(self) -> None:
        self.sent: list[EmailMessage] = []
        self.refusals: list[DeliveryError] = []

    def send(self, message: EmailMessage) -> None:
        """Keep the message, or raise the next refusal in line."""
        recipient(message)
        if self.refusals:
            raise self.refusals.pop(0)
        self.sent.append(message)

    def to(self, address: str) -> list[EmailMessage]:
        """What went to one address, in order."""
        return [m for m in self.sent if recipient(m) == address]
