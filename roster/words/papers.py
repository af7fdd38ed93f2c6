"""Sentences about agreements, releases and guardian consent."""

from roster.words.entry import COMMON, DEFAULT, Entry, mark

_MINOR = mark("A minor serves only with a guardian's consent. This is never overridden.")
_MINOR_SOURCE = mark("FWS 150 FW 2; OF-301A")
_SECOND = mark("A guardian's consent counts only after a second sign.")
_SECOND_SOURCE = mark("after 16 CFR 312.5(b)(2)(vi)")
_PAPER = mark("The papers that the land demands hold on the day.")
_PAPER_SOURCE = mark("NPS RM-7 ch. 5")
_AGE = mark("Whoever comes of age signs in person; the guardian's word ends that day.")

SENTENCES: dict[str, Entry] = {
    "guardian_consent_missing": Entry(
        mark("A minor on that day, and no guardian consent is on record."),
        mark("Send the guardian the consent to sign."),
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    "guardian_consent_one_sign": Entry(
        mark("The guardian signed on {signed_on}; the second sign is missing on that day."),
        mark("Call the guardian, or ask for the signed paper, and record it."),
        rule=_SECOND,
        source=_SECOND_SOURCE,
    ),
    "guardian_consent_lapsed": Entry(
        mark("The guardian consent: the last valid day is {last_day}."),
        mark("Send the guardian the consent to sign anew."),
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    "emergency_care_missing": Entry(
        mark("A minor on that day, and no guardian's word on emergency care is on record."),
        mark("Send the guardian the emergency care paper to sign."),
        rule=_MINOR,
        source=mark("USGS volunteer handbook ch. 7; seen in its contents list only"),
    ),
    "emergency_care_lapsed": Entry(
        mark("The emergency care paper: the last valid day is {last_day}."),
        mark("Send the guardian the emergency care paper to sign anew."),
        rule=_MINOR,
        source=mark("USGS volunteer handbook ch. 7; seen in its contents list only"),
    ),
    "paper_missing": Entry(
        mark("The paper {paper} is not signed on that day."),
        mark("Ask for it to be signed, and record it."),
        rule=_PAPER,
        source=_PAPER_SOURCE,
    ),
    "paper_lapsed": Entry(
        mark("{paper}: the last valid day was {last_day}."),
        mark("Ask for it to be signed anew, and record it."),
        rule=_PAPER,
        source=_PAPER_SOURCE,
    ),
    "paper_older_version": Entry(
        mark("{paper} is signed in an older version; the land demands version {version}."),
        mark("Ask for version {version} to be signed, and record it."),
        rule=_PAPER,
        source=_PAPER_SOURCE,
    ),
    "paper_signed_as_minor": Entry(
        mark("{paper} was signed before coming of age on {of_age_on}."),
        mark("Ask for the person's own signature from {of_age_on} on."),
        rule=_AGE,
        source=DEFAULT,
    ),
    "paper_lacks_guardian": Entry(
        mark("{paper} of a minor lacks the guardian's signature."),
        mark("Ask the guardian to sign too, and record it."),
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    # Clear sentences on the person's page
    "papers_of_adult": Entry(
        mark("Guardian consent is not required: of age on that day."),
        None,
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    "papers_of_minor": Entry(
        mark("Guardian consent, signed twice, and emergency care hold on that day."),
        None,
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    # Refusals of recording
    "signed_in_future": Entry(
        mark("{paper} cannot be signed on {day}: that day is still to come."),
        mark("Record it on the day, or correct the date."),
    ),
    "signed_before_in_force": Entry(
        mark("{paper} is in force from {from_on} only, not on {day}."),
        mark("Choose the version that was in force on that day."),
    ),
    "guardian_needed": Entry(
        mark("{paper} is signed by a guardian; none was named."),
        mark("Record the guardian first, then the signature."),
        rule=_MINOR,
        source=_MINOR_SOURCE,
    ),
    "guardian_not_of_person": Entry(
        mark("This guardian is not on record for this person."),
        mark("Record the guardian on the person's page."),
    ),
    "guardian_is_the_minor": Entry(
        mark("The guardian's address is the minor's own."),
        mark("Ask for an address that the guardian alone reads."),
        rule=_SECOND,
        source=COMMON,
    ),
    "no_guardian_for_adult": Entry(
        mark("{name} is of age on {day}: a guardian cannot sign."),
        mark("Ask for the person's own signature."),
        rule=_AGE,
        source=DEFAULT,
    ),
    "second_sign_not_asked": Entry(
        mark("Only a guardian's consent takes a second sign."),
        mark("Choose the guardian consent in the list of papers."),
        rule=_SECOND,
        source=_SECOND_SOURCE,
    ),
    "second_sign_too_soon": Entry(
        mark("A second mail counts only when it is answered on a later day than {signed_on}."),
        mark("Record a call or a signed paper instead, or wait for the later mail."),
        rule=_SECOND,
        source=_SECOND_SOURCE,
    ),
    "form_version_order": Entry(
        mark("Version {version} of {paper} is there already, or a newer one is."),
        mark("Give the next version number."),
    ),
    "form_changes_kind": Entry(
        mark("The form {code} is of another kind; a version cannot change that."),
        mark("Give the new form a code of its own."),
    ),
}
