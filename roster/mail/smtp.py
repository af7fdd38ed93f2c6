"""Mail by SMTP: always encrypted, but for a server on this very machine."""

from __future__ import annotations

import smtplib
import ssl
from dataclasses import dataclass
from email.message import EmailMessage
from urllib.parse import unquote, urlsplit

from roster.mail.sender import DeliveryError, recipient

_SECONDS = 30
_LOOPBACK = ("localhost", "127.0.0.1", "::1")
_PORTS = {"smtp": 587, "smtps": 465, "smtp+plain": 25}


@dataclass(frozen=True)
class SmtpServer:
    """A mail server: `smtp` demands STARTTLS, `smtps` is TLS from the first byte."""

    scheme: str
    host: str
    port: int
    user: str | None
    password: str | None

    @classmethod
    def parse(cls, url: str) -> SmtpServer:
        """From ROSTER_SMTP_URL; ValueError says what is wrong, without the password."""
        parts = urlsplit(url)
        if parts.scheme not in _PORTS:
            raise ValueError("begins with smtp:// (STARTTLS), smtps:// (TLS) or smtp+plain://")
        if not parts.hostname:
            raise ValueError("names no host")
        if parts.scheme == "smtp+plain" and parts.hostname not in _LOOPBACK:
            raise ValueError("smtp+plain:// is for a server on this machine only")
        user, password = parts.username, parts.password
        return cls(
            parts.scheme,
            parts.hostname,
            parts.port or _PORTS[parts.scheme],
            unquote(user) if user else None,
            unquote(password) if password else None,
        )


class SmtpSender:
    """Sends each message over a connection of its own."""

    def __init__(self, server: SmtpServer, context: ssl.SSLContext | None = None) -> None:
        self._server = server
        self._context = context or ssl.create_default_context()

    def send(self, message: EmailMessage) -> None:
        """Hand the message to the server."""
        to = recipient(message)
        sender = message["From"].addresses[0].addr_spec
        handing_over = False
        try:
            with self._connected() as connection:
                handing_over = True
                connection.send_message(message, from_addr=sender, to_addrs=[to])
        except smtplib.SMTPRecipientsRefused as error:
            code, said = error.recipients[to]
            raise DeliveryError(_said(code, said), for_good=code >= 500) from error
        except smtplib.SMTPResponseException as error:
            refused = isinstance(error, smtplib.SMTPDataError | smtplib.SMTPSenderRefused)
            text = _said(error.smtp_code, error.smtp_error)
            raise DeliveryError(text, for_good=refused and error.smtp_code >= 500) from error
        except (smtplib.SMTPException, OSError) as error:
            # Not the text of the error: it may hold the address or what was sent
            raise DeliveryError(
                type(error).__name__, for_good=False, unsure=handing_over
            ) from error

    def _connected(self) -> smtplib.SMTP:
        server = self._server
        if server.scheme == "smtps":
            connection: smtplib.SMTP = smtplib.SMTP_SSL(
                server.host, server.port, timeout=_SECONDS, context=self._context
            )
        else:
            connection = smtplib.SMTP(server.host, server.port, timeout=_SECONDS)
        try:
            if server.scheme == "smtp":
                connection.starttls(context=self._context)
            if server.user and server.password:
                connection.login(server.user, server.password)
        except BaseException:
            connection.close()
            raise
        return connection


def _said(code: int, text: bytes | str) -> str:
    words = text.decode("ascii", "replace") if isinstance(text, bytes) else text
    return f"{code} {words.splitlines()[0] if words else ''}"[:120]
