"""Which column of a spreadsheet is which; every heading means one thing."""

import pytest

from roster.domain.errors import BadInput
from roster.domain.import_columns import FIELDS, ImportKind, heading_key, matched

PEOPLE = ImportKind.PEOPLE


def test_a_heading_is_read_without_case_accents_and_signs() -> None:
    assert heading_key(" E-Mail: ") == "e mail"
    assert heading_key("Código postal") == "codigo postal"


@pytest.mark.parametrize("kind", list(ImportKind))
def test_no_heading_means_two_things(kind: ImportKind) -> None:
    names = [name for names in FIELDS[kind].values() for name in names]
    assert len(names) == len(set(names))
    assert all(heading_key(name) == name for name in names)


def test_columns_are_found_in_any_order_and_strangers_named() -> None:
    found = matched(PEOPLE, ("Colour", "ZIP", "", "Full name"))
    assert dict(found.places) == {"postcode": 1, "name": 3}
    assert found.ignored == ("Colour",)


def test_a_name_may_stand_in_two_columns() -> None:
    assert dict(matched(PEOPLE, ("First name", "Surname")).places) == {
        "first_name": 0, "last_name": 1
    }  # fmt: skip


@pytest.mark.parametrize(
    ("headings", "code"),
    [(("Colour",), "column_missing"), ((), "column_missing"), (("Name", "NAME"), "column_twice")],
)
def test_a_table_that_lacks_or_repeats_a_column_is_refused(
    headings: tuple[str, ...], code: str
) -> None:
    with pytest.raises(BadInput) as refused:
        matched(PEOPLE, headings)
    assert refused.value.reason.code == code
