"""Forms of the collection record: shape of input only."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import (
    BooleanField,
    FloatField,
    HiddenField,
    IntegerField,
    RadioField,
    SelectField,
    StringField,
)
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from roster.domain.collecting import Bagging, StandCount, Taken, TakenUnit
from roster.domain.events import NothingTaken

_MANY = NumberRange(0, 1e12)
_COUNT = NumberRange(0, 100_000_000)


class StandForm(FlaskForm):
    """What was counted on arrival."""

    population = HiddenField(id="population-count", validators=[InputRequired()])
    plants_at_dispersal = IntegerField(validators=[InputRequired(), _COUNT])
    fruits_per_plant = FloatField(validators=[InputRequired(), _MANY])
    seeds_per_fruit = FloatField(validators=[InputRequired(), _MANY])
    looked_at = IntegerField(validators=[InputRequired(), _COUNT])
    good = IntegerField(validators=[InputRequired(), _COUNT])
    seeds_per_gram = FloatField(validators=[Optional(), _MANY])
    crop = FloatField(validators=[Optional(), _MANY])

    def stand(self) -> StandCount:
        """The count that was typed."""
        return StandCount(
            self.plants_at_dispersal.data,
            self.fruits_per_plant.data,
            self.seeds_per_fruit.data,
            self.looked_at.data,
            self.good.data,
            self.seeds_per_gram.data,
            self.crop.data,
        )


class TakenForm(FlaskForm):
    """What was taken, or why nothing was."""

    population = HiddenField(id="population-taken", validators=[InputRequired()])
    amount = FloatField(validators=[Optional(), _MANY])
    unit = SelectField(validate_choice=True)
    bagging = RadioField(validate_choice=True)
    mothers = IntegerField(validators=[Optional(), _COUNT])
    voucher = StringField(validators=[Optional(), Length(max=80)])
    nothing = SelectField(validate_choice=True)
    anyway = BooleanField()

    def taken(self) -> Taken:
        """What was typed; an empty amount is none."""
        return Taken(
            amount=self.amount.data or 0,
            unit=TakenUnit(self.unit.data),
            bagging=Bagging(self.bagging.data),
            mothers=self.mothers.data,
            voucher=self.voucher.data or "",
            nothing=NothingTaken(self.nothing.data) if self.nothing.data else None,
            anyway=bool(self.anyway.data),
        )
