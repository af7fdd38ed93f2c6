"""Mail in development: each message becomes a file that a person can open; nothing leaves."""

from __future__ import annotations

import hashlib
import os
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path

from roster.mail.sender import recipient


class FiledSender:
    """Writes NAME.eml into a folder; a repeated message takes the place of its first copy."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def send(self, message: EmailMessage) -> None:
        """Write the message whole, or not at all."""
        recipient(message)
        self._folder.mkdir(parents=True, exist_ok=True)
        path = self.path(str(message["Message-ID"]))
        draft = path.with_suffix(".part")
        draft.write_bytes(message.as_bytes())
        os.replace(draft, path)

    def path(self, message_id: str) -> Path:
        """Where the message of that Message-ID lies, or would lie."""
        name = hashlib.sha256(message_id.encode()).hexdigest()[:24]
        return self._folder / f"{name}.eml"

    def read(self, message_id: str) -> EmailMessage | None:
        """The filed message, if it is there."""
        path = self.path(message_id)
        if not path.exists():
            return None
        return message_from_bytes(path.read_bytes(), policy=policy.SMTP)
