"""What a guardian fills in: name, scope, last day."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import BooleanField, DateField, StringField
from wtforms.validators import InputRequired, Length, Optional


class ConsentForm(FlaskForm):
    """The guardian's answers; which papers were shown comes beside, in hidden fields."""

    typed_name = StringField(validators=[InputRequired(), Length(max=120)])
    no_signal = BooleanField()
    travel = StringField(validators=[Length(max=300)])
    fetched_by = StringField(validators=[Length(max=300)])
    may_leave_alone = BooleanField()
    last_day = DateField(validators=[Optional()])
