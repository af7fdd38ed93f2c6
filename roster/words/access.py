"""Sentences about signing in, links, rights."""

from roster.words.entry import DEFAULT, Entry, mark

SENTENCES: dict[str, Entry] = {
    "address_malformed": Entry(
        mark("{value} is not an e-mail address."),
        mark("Write one address, such as name@example.org."),
    ),
    "code_wrong": Entry(
        mark("The code is not right, or it is no longer good."),
        mark("Type the eight signs from the newest mail, or ask for a new link and code."),
        rule=mark("A code is good for ten minutes, five tries and one browser"),
        source="OWASP ASVS 5.0, 6.5.5 and 6.6.2",
    ),
    "too_many_requests": Entry(
        mark("Too many tries in a short time."),
        mark("Wait {minutes} minutes, then try again."),
        rule=mark("Limits of sending"),
        source=DEFAULT,
    ),
    "link_dead": Entry(
        mark("This link is no longer good."),
        mark("Ask the person who sent it for a new one."),
        rule=mark("A link serves one purpose until a day, and can be taken back"),
    ),
    "link_used": Entry(
        mark("This link was already used."),
        mark("Nothing more is to be done; if you did not use it, tell the coordinator."),
    ),
    "session_needed": Entry(
        mark("Sign in first."),
        mark("Open the sign-in page and ask for a link."),
    ),
    "form_is_old": Entry(
        mark("This form was open for too long, or it did not come from our own page."),
        mark("Open the page again and send the form once more. Nothing was saved."),
    ),
    "consent_forms_changed": Entry(
        mark("The papers have changed since this page was opened."),
        mark("Read the page again and sign what it shows now. Nothing was signed."),
        rule=mark("The version that is shown is the one that is signed"),
    ),
    "name_not_typed": Entry(
        mark("A signature needs your full name."),
        mark("Type your first and last name."),
    ),
    "consent_ends_in_the_past": Entry(
        mark("That day is past."),
        mark("Choose today or a later day as the last day of your consent."),
    ),
}
