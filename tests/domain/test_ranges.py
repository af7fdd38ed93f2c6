"""Numbers in and out of a range, with the bound on both sides."""

import pytest

from roster.domain.errors import BadInput
from roster.domain.ranges import at_least, within


@pytest.mark.parametrize("value", [0, 0.5, 1])
def test_both_ends_of_a_range_belong_to_it(value):
    assert within("share", value, 0, 1) == value


@pytest.mark.parametrize("value", [-0.001, 1.001, float("nan"), float("inf"), float("-inf")])
def test_a_number_outside_is_refused_with_field_value_and_bounds(value):
    with pytest.raises(BadInput) as caught:
        within("share", value, 0, 1)
    assert caught.value.field == "share"
    assert caught.value.reason.facts["least"] == 0
    assert caught.value.reason.facts["most"] == 1


def test_a_number_may_have_no_upper_end_but_must_be_a_number():
    assert at_least("plants", 50, 50) == 50
    for value in (49, float("nan"), float("inf")):
        with pytest.raises(BadInput):
            at_least("plants", value, 50)
