"""The form of free days: shape of input only, one for volunteers and staff."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import DateField, IntegerField
from wtforms.validators import InputRequired, NumberRange, Optional

from roster.domain.availability import LONGEST_DRIVE, Availability, Away, away_of, bits_of
from roster.domain.errors import BadInput
from roster.domain.reasons import Reason
from roster.services.availability import FreePage
from roster.web.forms.events import TicksField, choices
from roster.web.page import language
from roster.words import formats

_MONDAY = 4  # 4 January 2027 was a Monday: a week to name the weekdays by


class FreeForm(FlaskForm):
    """Weekdays, days away, drive, events a month, species."""

    weekdays = TicksField(coerce=int)
    minutes_drive = IntegerField(validators=[Optional(), NumberRange(0, LONGEST_DRIVE)])
    per_month = IntegerField(validators=[InputRequired(), NumberRange(0, 31)])
    keep = TicksField(validate_choice=False)
    from_on = DateField(validators=[Optional()])
    last_day = DateField(validators=[Optional()])
    taxa = TicksField(coerce=int, validate_choice=False)

    def availability(self) -> Availability:
        """What was said; BadInput for days away that are no time."""
        times = [away_of(text) for text in self.keep.data or ()]
        first, last = self.from_on.data, self.last_day.data
        if last and not first:
            raise BadInput("from_on", "", Reason("missing_value"))
        if first:
            times.append(Away(first, last or first))
        return Availability(
            bits_of(self.weekdays.data or ()),
            self.minutes_drive.data,
            self.per_month.data,
            tuple(times),
            frozenset(self.taxa.data or ()),
        )


def form_of(found: FreePage, *, sent: bool) -> FreeForm:
    """The form as it was sent, or filled with what the person said before."""
    said = found.said
    given = {
        "weekdays": sorted(said.free_on),
        "minutes_drive": said.minutes_drive,
        "per_month": said.per_month,
        "keep": [str(one) for one in said.away],
        "taxa": sorted(said.taxa),
    }
    form = FreeForm() if sent else FreeForm(formdata=None, data=given)
    week = [found.today.replace(year=2027, month=1, day=_MONDAY + i) for i in range(7)]
    form.weekdays.choices = choices(
        (i, formats.weekday(day, language())) for i, day in enumerate(week)
    )
    form.keep.choices = choices(
        (one, formats.days(one.from_on, one.last_day, language())) for one in said.away
    )
    form.taxa.choices = choices((t.id, f"{t.common_name or t.name} ({t.name})") for t in found.taxa)
    return form
