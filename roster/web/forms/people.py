"""Forms about people, finished steps, papers and imports: shape of input only."""

from __future__ import annotations

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import (
    BooleanField,
    DateField,
    FloatField,
    RadioField,
    SelectField,
    StringField,
    TextAreaField,
)
from wtforms.validators import InputRequired, Length, Optional

from roster.domain.paper_forms import ConsentScope
from roster.services.people import NewPerson
from roster.web.forms.events import number_or_none

_LINE = [Optional(), Length(max=200)]


class PersonForm(FlaskForm):
    """What is told of a person."""

    name = StringField(validators=[InputRequired(), Length(max=120)])
    address = StringField(validators=[Optional(), Length(max=254)])
    phone = StringField(validators=[Optional(), Length(max=40)])
    born_on = DateField(validators=[Optional()])
    of_age = BooleanField()
    language = SelectField(validate_choice=False)
    postcode = StringField(validators=[Optional(), Length(max=12)])
    lat = FloatField(validators=[Optional()])
    lon = FloatField(validators=[Optional()])
    household = StringField(validators=_LINE)
    region = SelectField(coerce=number_or_none, validate_choice=False)

    def new_person(self) -> NewPerson:
        """The person as the use case takes it; being of age is dated by the view."""
        return NewPerson(
            name=self.name.data or "",
            address=self.address.data or None,
            phone=self.phone.data or None,
            born_on=self.born_on.data,
            language=self.language.data or "en",
            postcode=self.postcode.data or None,
            lat=self.lat.data,
            lon=self.lon.data,
            household=self.household.data or None,
            region=self.region.data,
        )


class FinishedForm(FlaskForm):
    """A finished step."""

    step = SelectField(validators=[InputRequired()], validate_choice=False)
    done_on = DateField(validators=[InputRequired()])
    own_until = DateField(validators=[Optional()])
    score = FloatField(validators=[Optional()])


class SignatureForm(FlaskForm):
    """A paper that was signed."""

    form = SelectField(coerce=number_or_none, validators=[InputRequired()], validate_choice=False)
    signed_on = DateField(validators=[InputRequired()])
    way = SelectField(validate_choice=False)
    guardian = SelectField(coerce=number_or_none, validate_choice=False)
    activities = StringField(validators=_LINE)
    no_signal = BooleanField()
    travel = StringField(validators=_LINE)
    fetched_by = StringField(validators=_LINE)
    may_leave_alone = BooleanField()
    note = StringField(validators=_LINE)

    def scope(self) -> ConsentScope:
        """What a guardian consents to."""
        names = (name.strip() for name in (self.fetched_by.data or "").split(","))
        return ConsentScope(
            activities=self.activities.data or "",
            no_signal=self.no_signal.data,
            travel=self.travel.data or "",
            fetched_by=tuple(name for name in names if name),
            may_leave_alone=self.may_leave_alone.data,
        )


class SecondSignForm(FlaskForm):
    """A guardian's second sign."""

    way = SelectField(validators=[InputRequired()], validate_choice=False)
    on = DateField(validators=[InputRequired()])


class GuardianForm(FlaskForm):
    """A guardian of a minor."""

    name = StringField(validators=[InputRequired(), Length(max=120)])
    address = StringField(validators=[InputRequired(), Length(max=254)])
    phone = StringField(validators=[Optional(), Length(max=40)])


class WithholdForm(FlaskForm):
    """A role withheld."""

    role = SelectField(validate_choice=False)
    kind = RadioField(validators=[InputRequired()])
    from_on = DateField(validators=[InputRequired()])
    last_day = DateField(validators=[Optional()])


class WhyForm(FlaskForm):
    """A reason in words."""

    why = StringField(validators=[InputRequired(), Length(max=200)])


class SignForm(FlaskForm):
    """The own name, typed under a paper."""

    typed_name = StringField(validators=[InputRequired(), Length(max=120)])
    agreed = BooleanField(validators=[InputRequired()])


class UploadForm(FlaskForm):
    """A spreadsheet of one kind."""

    kind = RadioField(validators=[InputRequired()])
    file = FileField(validators=[FileRequired()])


class ContactForm(FlaskForm):
    """Whom to call in an emergency."""

    name = StringField(validators=[InputRequired(), Length(max=120)])
    phone = StringField(validators=[InputRequired(), Length(max=40)])
    relation = TextAreaField(validators=_LINE)
