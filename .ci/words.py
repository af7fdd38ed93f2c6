"""Catalogues of translated strings. `update` gathers, merges, compiles; `check` changes nothing.

Run from the top folder: python .ci/words.py update | check
"""

from __future__ import annotations

import io
import re
import sys
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "roster" / "words"
LANGUAGES = ("es",)
KEYWORDS = {
    "_": None,
    "gettext": None,
    "ngettext": (1, 2),
    "mark": None,
    "plural": (1, 2),
}
METHODS = [("**.py", "python"), ("**.html", "jinja2"), ("**.txt", "jinja2")]
OPTIONS = {"**.html": {"trimmed": "true"}, "**.txt": {"trimmed": "true"}}
SOURCES = (
    "roster/words",
    "roster/web",
    "roster/cli",
    "roster/services",
    "roster/mail",
    "templates",
)
PLACE = re.compile(r"%\(\w+\)s|\{[^}]*\}")
FIXED = datetime(2027, 1, 1, tzinfo=UTC)  # the same strings give the same bytes


def gathered() -> Catalog:
    """Every marked string of the code and the templates."""
    found = Catalog(project="Seed Muster", creation_date=FIXED, fuzzy=False)
    for source in SOURCES:
        for name, _line, message, _comments, _context in extract_from_dir(
            ROOT / source, METHODS, OPTIONS, keywords=KEYWORDS
        ):
            found.add(message, locations=[(f"{source}/{name}", 0)])
    return found


def known(language: str) -> Catalog:
    """The catalogue of a language as it stands in the repository."""
    path = FOLDER / f"{language}.po"
    if not path.exists():
        return Catalog(locale=language, project="Seed Muster", fuzzy=False)
    with path.open("rb") as written:
        return read_po(written, locale=language)


def po_bytes(catalogue: Catalog) -> bytes:
    """The catalogue as text, ordered by place, without line numbers."""
    out = io.BytesIO()
    layout = {"sort_by_file": True, "include_lineno": False, "ignore_obsolete": True}
    write_po(out, catalogue, width=100, **layout)
    return out.getvalue()


def mo_bytes(catalogue: Catalog) -> bytes:
    """The compiled catalogue; strings without a translation are left to English."""
    out = io.BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def merged(language: str) -> Catalog:
    """The known translations on today's strings."""
    catalogue = known(language)
    catalogue.update(gathered(), no_fuzzy_matching=True, update_creation_date=False)
    catalogue.creation_date = catalogue.revision_date = FIXED
    catalogue.fuzzy = False
    catalogue.header_comment = f"# Seed Muster, language {language}"
    catalogue.msgid_bugs_address = catalogue.last_translator = catalogue.language_team = ""
    return catalogue


def texts(value: str | tuple[str, ...] | list[str] | None) -> list[str]:
    """One string, or both forms of a plural; an empty one where nothing is translated yet."""
    return [value or ""] if isinstance(value, str | None) else list(value)


def mistakes(catalogue: Catalog) -> list[str]:
    """Translations that are fuzzy, or whose placeholders are not those of the English."""
    found = []
    for message in catalogue:
        if not message.id or not any(texts(message.string)):
            continue
        wanted = {p for text in texts(message.id) for p in PLACE.findall(text)}
        given = {p for text in texts(message.string) for p in PLACE.findall(text)}
        if message.fuzzy:
            found.append(f"fuzzy: {texts(message.id)[0]}")
        if wanted != given:
            found.append(f"placeholders differ: {texts(message.id)[0]}")
    return found


def told(language: str, catalogue: Catalog) -> str:
    """How far the language has come."""
    all_of_it = [m for m in catalogue if m.id]
    done = sum(1 for m in all_of_it if all(texts(m.string)))
    return f"{language}: {done} of {len(all_of_it)} strings translated"


def update() -> int:
    """Write the catalogue and its compiled form."""
    for language in LANGUAGES:
        catalogue = merged(language)
        (FOLDER / f"{language}.po").write_bytes(po_bytes(catalogue))
        (FOLDER / f"{language}.mo").write_bytes(mo_bytes(catalogue))
        sys.stdout.write(told(language, catalogue) + "\n")
    return 0


def check() -> int:
    """0 if the catalogues are what `update` would write, and without mistakes."""
    wrong: list[str] = []
    for language in LANGUAGES:
        catalogue = merged(language)
        wrong += mistakes(catalogue)
        for suffix, made in (("po", po_bytes(catalogue)), ("mo", mo_bytes(catalogue))):
            path = FOLDER / f"{language}.{suffix}"
            if not path.exists() or path.read_bytes() != made:
                wrong.append(f"{path.name} is not up to date: run `python .ci/words.py update`")
        sys.stdout.write(told(language, catalogue) + "\n")
    sys.stdout.writelines(f"{line}\n" for line in wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit({"update": update, "check": check}[sys.argv[1] if len(sys.argv) > 1 else "check"]())
