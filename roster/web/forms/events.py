"""Forms about events: shape of input only; the rules stand in the domain."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from flask_wtf import FlaskForm
from wtforms import (
    DateField,
    HiddenField,
    IntegerField,
    RadioField,
    SelectField,
    SelectMultipleField,
    StringField,
    TextAreaField,
    TimeField,
    widgets,
)
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from roster.domain.events import DateState, EventKind
from roster.services.event_making import NewEvent


def choices(pairs: Iterable[tuple[object, str]]) -> list[SelectChoice]:
    """Choices from numbers or codes and their words."""
    return [SelectChoice(value=str(value), label=label) for value, label in pairs]


def number_or_none(value: object) -> int | None:
    """A chosen number; an empty choice is none."""
    return int(str(value)) if value not in (None, "", "None") else None


class TicksField(SelectMultipleField):
    """Several of many, each with its own box."""

    widget = widgets.ListWidget(prefix_label=False)
    option_widget = widgets.CheckboxInput()


class EventForm(FlaskForm):
    """A new event at one site."""

    kind = SelectField(validators=[InputRequired()], validate_choice=False)
    populations = TicksField(coerce=int, validate_choice=False)
    title = StringField(validators=[Optional(), Length(max=200)])
    date_state = RadioField(validators=[InputRequired()])
    day = DateField(validators=[InputRequired()])
    last_day = DateField(validators=[Optional()])
    start_time = TimeField(validators=[InputRequired()])
    end_time = TimeField(validators=[InputRequired()])
    capacity = IntegerField(validators=[InputRequired(), NumberRange(1, 500)])
    minimum_crew = IntegerField(validators=[Optional(), NumberRange(1, 50)])
    vehicles = IntegerField(validators=[Optional(), NumberRange(0, 100)])
    duty_person = SelectField(coerce=number_or_none, validate_choice=False)
    stand_in = SelectField(coerce=number_or_none, validate_choice=False)
    meeting = TextAreaField(validators=[Optional(), Length(max=500)])
    notes = TextAreaField(validators=[Optional(), Length(max=4000)])

    def new_event(self, site: int) -> NewEvent:
        """The event that was described; local times of the meeting point."""
        expected = self.date_state.data == DateState.EXPECTED
        last = self.last_day.data if expected and self.last_day.data else self.day.data
        return NewEvent(
            kind=EventKind(self.kind.data),
            site=site,
            local_start=datetime.combine(self.day.data, self.start_time.data),
            local_end=datetime.combine(last, self.end_time.data),
            capacity=self.capacity.data,
            populations=tuple(self.populations.data or ()),
            date_state=DateState(self.date_state.data),
            title=self.title.data or "",
            minimum_crew=self.minimum_crew.data,
            vehicles=self.vehicles.data or 0,
            meeting=self.meeting.data or "",
            notes=self.notes.data or "",
            duty_person=self.duty_person.data,
            stand_in=self.stand_in.data,
        )


class ChangeForm(FlaskForm):
    """Time, size and people at home of an event that has not begun."""

    day = DateField(validators=[InputRequired()])
    last_day = DateField(validators=[InputRequired()])
    start_time = TimeField(validators=[InputRequired()])
    end_time = TimeField(validators=[InputRequired()])
    capacity = IntegerField(validators=[InputRequired(), NumberRange(1, 500)])
    minimum_crew = IntegerField(validators=[InputRequired(), NumberRange(1, 50)])
    vehicles = IntegerField(validators=[Optional(), NumberRange(0, 100)])
    duty_person = SelectField(coerce=number_or_none, validate_choice=False)
    stand_in = SelectField(coerce=number_or_none, validate_choice=False)
    manager_told_on = DateField(validators=[Optional()])
    meeting = TextAreaField(validators=[InputRequired(), Length(max=500)])
    notes = TextAreaField(validators=[Optional(), Length(max=4000)])
    why = StringField(validators=[Optional(), Length(max=500)])


class WhyForm(FlaskForm):
    """A grave act with its reason; its field stands on one page with the form of a change."""

    why = StringField(id="why-call-off", validators=[InputRequired(), Length(max=500)])


class OverrideForm(FlaskForm):
    """Going on although one finding says stop."""

    code = HiddenField(validators=[InputRequired()])
    why = StringField(validators=[InputRequired(), Length(max=500)])
