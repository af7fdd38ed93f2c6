"""From a queued message to the mail itself: read at the last moment, from the revision it names.

None means that there is nothing to say any more: the message is then cancelled unsent.
"""

from __future__ import annotations

from collections.abc import Callable

from roster.mail.message import Mailbox
from roster.mail.wording import EventCard, Kind, Letter
from roster.services import calendar_parts, event_cards, letters_beside, links, merging, messages
from roster.services.mail_scenes import (
    OVER,
    Scene,
    Unreachable,
    Written,
    first_name,
    programme_name,
    scene_of,
)
from roster.store.invitations import Concerned
from roster.store.outbox_values import Queued
from roster.store.registry import Store
from roster.store.wiring import wiring
from roster.words import word
from roster.words.letters import phrase

WITH_CALENDAR = (Kind.INVITATION, Kind.UPDATE, Kind.ASKED_AGAIN, Kind.CANCELLATION, Kind.CALL_OFF)


def written(store: Store, row: Queued) -> Written | None:
    """The mail for a queued message, or None if it has nothing to say any more.

    Raises Unreachable when the person or guardian has no address.
    """
    kind = Kind(row.kind)
    if kind is Kind.SIGN_IN:
        return letters_beside.sign_in(store, row)
    if kind is Kind.GUARDIAN_CONSENT_LINK:
        return letters_beside.consent_link(store, row)
    if kind is Kind.GUARDIAN_COPY:
        return letters_beside.guardian_copy(store, row)
    if kind is Kind.SEVERAL:
        return merging.several(store, row, written)
    scene = scene_of(store, row)
    return None if scene is None else _of_event(scene)


def _of_event(scene: Scene) -> Written | None:
    kind = Kind(scene.row.kind)
    facts = _FACTS[kind](scene)
    if facts is None:
        return None
    part = calendar_parts.part(
        scene.store, kind, scene.row, takes_part=_takes_part(scene), sent_n=scene.sent_n
    )
    if kind in WITH_CALENDAR:
        facts["attached"] = part is not None
    sent = None
    if part is not None:
        sent = 0 if part[1] == "CANCEL" else scene.revision.n
    return Written(_mailbox(scene), _letter(scene, facts), part, sent)


def _takes_part(scene: Scene) -> bool:
    return scene.standing is not None and scene.standing.takes_part


def _mailbox(scene: Scene) -> Mailbox:
    store, row = scene.store, scene.row
    address = store.invitations.address(row.address) if row.address else None
    address = address or store.invitations.address_of(scene.reader.person)
    if address is None:
        raise Unreachable(f"person {scene.reader.person} has no address")
    return Mailbox(address, scene.reader.name)


def _letter(scene: Scene, facts: dict[str, object]) -> Letter:
    base = wiring().config.base_url
    found = {
        "my_days": f"{base}/days",
        "event": _event_page(scene, base),
        "cannot_come": f"{base}/days",
        "help_needed": f"{base}/help-wanted",
    }
    if scene.row.safety or scene.row.kind == Kind.SEEN_IT:
        found["seen_it"] = f"{base}/seen/{messages.seen_token(scene.row.id)}"
    if scene.row.kind == Kind.ASKED_AGAIN:
        found["answer"] = base + links.path_of(scene.store, scene.row.facts["link"])
    return Letter(
        kind=Kind(scene.row.kind),
        language=scene.language,
        programme=programme_name(scene.store),
        name=first_name(scene.reader.name),
        links=found,
        event=_card(scene),
        facts=facts,
    )


def _event_page(scene: Scene, base: str) -> str:
    leads = scene.standing is not None and scene.standing.role == "lead"
    return f"{base}/field/{scene.event.id}" if leads else f"{base}/days"


def _card(scene: Scene) -> EventCard:
    full = Kind(scene.row.kind) in (Kind.INVITATION, Kind.UPDATE, Kind.REMINDER, Kind.LEAD_ASKED,
                                        Kind.ASKED_AGAIN)  # fmt: skip
    return event_cards.card(
        scene.store, scene.event, scene.revision, scene.language, with_people=full
    )


def _invitation(scene: Scene) -> dict[str, object] | None:
    if not _takes_part(scene) or scene.event.stage in OVER:
        return None
    return {"role": scene.role}


def _asked_again(scene: Scene) -> dict[str, object] | None:
    spot = scene.store.spots.one(scene.event.id, scene.reader.person)
    if spot is None or not spot.is_asked_again or scene.event.stage in OVER:
        return None
    before = scene.store.invitations.revision(scene.event.id, scene.revision.n - 1)
    changes = event_cards.changes(before, scene.revision, scene.language) if before else []
    role = word("role", spot.role, scene.language)
    return {"role": role, "changes": changes, "until": scene.until(spot.offered_until)}


def _update(scene: Scene) -> dict[str, object] | None:
    concerned = scene.standing is not None
    if not concerned or scene.event.stage in OVER or scene.sent_n >= scene.revision.n:
        return None
    before = scene.store.invitations.revision(scene.event.id, scene.sent_n or scene.revision.n - 1)
    changes = event_cards.changes(before, scene.revision, scene.language) if before else []
    return {"role": scene.role, "changes": changes}


def _cancellation(scene: Scene) -> dict[str, object] | None:
    return None if _takes_part(scene) else {}


def _call_off(scene: Scene) -> dict[str, object] | None:
    return {"why": scene.event.called_off_why or scene.why}


def _stands(scene: Scene, state: str) -> Concerned | None:
    """The reader's standing if it is that state, on an event that is still to come."""
    standing = scene.standing
    fits = standing is not None and standing.state == state and scene.event.stage not in OVER
    return standing if fits else None


def _offered(scene: Scene) -> dict[str, object] | None:
    standing = _stands(scene, "offered")
    return {"until": scene.until(standing.until)} if standing else None


def _waiting(scene: Scene) -> dict[str, object] | None:
    standing = _stands(scene, "waiting")
    return {"line_no": standing.line_no} if standing else None


def _asked(scene: Scene) -> dict[str, object] | None:
    standing = _stands(scene, "asked")
    return {"role": scene.role, "until": scene.until(standing.until)} if standing else None


def _found(scene: Scene) -> dict[str, object] | None:
    busy = scene.standing is not None and scene.standing.state in ("asked", "agreed")
    roles = {a.person: a.role for a in scene.store.leads.asks(scene.event.id)}
    role = word("role", roles.get(scene.reader.person, "lead"), scene.language)
    return None if busy or scene.event.stage in OVER else {"role": role}


def _reminder(scene: Scene) -> dict[str, object] | None:
    begun = scene.event.starts_at <= scene.store.unit.at
    return None if begun else _invitation(scene)


def _safety(scene: Scene) -> dict[str, object] | None:
    if scene.standing is None or scene.event.stage in OVER:
        return None
    return {"text": scene.why or phrase("moved_text", scene.language)}


_FACTS: dict[Kind, Callable[[Scene], dict[str, object] | None]] = {
    Kind.INVITATION: _invitation,
    Kind.UPDATE: _update,
    Kind.ASKED_AGAIN: _asked_again,
    Kind.CANCELLATION: _cancellation,
    Kind.CALL_OFF: _call_off,
    Kind.OFFERED_SPOT: _offered,
    Kind.WAITING: _waiting,
    Kind.LEAD_ASKED: _asked,
    Kind.LEAD_FOUND: _found,
    Kind.REMINDER: _reminder,
    Kind.SEEN_IT: _safety,
}
