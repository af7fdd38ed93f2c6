"""Letters that are not about one's own spot: signing in, a guardian's consent and copy."""

from __future__ import annotations

from dataclasses import replace

from roster.mail.message import Mailbox
from roster.mail.wording import Kind, Letter
from roster.services import event_cards, links, signin
from roster.services.mail_scenes import (
    Unreachable,
    Written,
    first_name,
    programme_name,
    scene_of,
)
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.store.wiring import wiring
from roster.words.formats import moment
from roster.words.letters import phrase


def sign_in(store: Store, row: Queued) -> Written | None:
    """The link and the code of an asking that is still open."""
    asked = signin.letter(store, row.facts["sign_in"])
    if asked is None:
        return None
    letter = Letter(
        kind=Kind.SIGN_IN,
        language=asked.language,
        programme=programme_name(store),
        name=first_name(asked.name),
        links={"sign_in": wiring().config.base_url + asked.path, "my_days": ""},
        facts={"code": asked.code, "minutes": asked.minutes},
    )
    return Written(Mailbox(asked.address, asked.name), letter)


def consent_link(store: Store, row: Queued) -> Written | None:
    """The link by which a guardian reads and signs."""
    guardian = store.invitations.guardian(row.guardian or 0)
    minor = store.invitations.recipient(row.person or 0)
    link = store.links.get(row.facts["link"])
    if guardian is None or minor is None or link is None or not link.is_good_at(store.unit.at):
        return None
    programme = store.programme.the_one()
    zone = programme.time_zone if programme else "UTC"
    letter = Letter(
        kind=Kind.GUARDIAN_CONSENT_LINK,
        language=minor.language,
        programme=programme_name(store),
        name=first_name(guardian.name),
        links={"consent": wiring().config.base_url + links.path(link), "my_days": ""},
        facts={"minor": first_name(minor.name), "until": moment(link.until, zone, minor.language)},
    )
    return Written(_guardian_box(guardian.address, guardian.name), letter)


def guardian_copy(store: Store, row: Queued) -> Written | None:
    """What the minor was sent, in one sentence and without its links."""
    guardian = store.invitations.guardian(row.guardian or 0)
    original = store.outbox.get(row.facts["message"])
    if guardian is None or original is None or original.state == "cancelled":
        return None
    scene = scene_of(store, replace(original, n=row.n))
    if scene is None:
        return None
    codes = {
        Kind.ASKED_AGAIN: "told_asked_again",
        Kind.UPDATE: "told_update", Kind.CALL_OFF: "told_off", Kind.CANCELLATION: "told_cancelled",
        Kind.OFFERED_SPOT: "told_offered", Kind.WAITING: "told_waiting",
        Kind.REMINDER: "told_reminder", Kind.SEEN_IT: "told_safety",
    }  # fmt: skip
    name = first_name(scene.reader.name)
    until = scene.until(scene.standing.until if scene.standing else None)
    what = phrase(
        codes.get(Kind(original.kind), "told_placed"), scene.language,
        name=name, role=scene.role, until=until, text=scene.why,
    )  # fmt: skip
    letter = Letter(
        kind=Kind.GUARDIAN_COPY,
        language=scene.language,
        programme=programme_name(store),
        name=first_name(guardian.name),
        links={"my_days": ""},
        event=event_cards.card(store, scene.event, scene.revision, scene.language),
        facts={"minor": name, "what": what},
    )
    return Written(_guardian_box(guardian.address, guardian.name), letter)


def _guardian_box(address: str, name: str) -> Mailbox:
    try:
        return Mailbox(address.strip(), name)
    except ValueError as error:
        raise Unreachable("the guardian's address is not a mail address") from error
