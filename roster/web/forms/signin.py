"""The two forms of signing in."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import StringField
from wtforms.validators import InputRequired


class AddressForm(FlaskForm):
    """Step 1: the address."""

    address = StringField(validators=[InputRequired()])


class CodeForm(FlaskForm):
    """Step 2: the code from the mail."""

    code = StringField(validators=[InputRequired()])
