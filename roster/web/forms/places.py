"""Forms about sites, permissions, closures, populations and site checks: shape of input only."""

from __future__ import annotations

from datetime import datetime, time

from flask_wtf import FlaskForm
from wtforms import (
    BooleanField,
    DateField,
    FloatField,
    IntegerField,
    RadioField,
    SelectField,
    StringField,
    TextAreaField,
    TimeField,
)
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from roster.domain.event_times import to_utc
from roster.services.places import (
    NewCalendar,
    NewClosure,
    NewPermission,
    NewPopulation,
    NewSite,
    NewTaxon,
    SiteCheck,
)
from roster.web.forms.events import TicksField, number_or_none

_LINE = [Optional(), Length(max=200)]
_TEXT = [Optional(), Length(max=500)]


class SiteForm(FlaskForm):
    """A new site."""

    name = StringField(validators=[InputRequired(), Length(max=200)])
    region = SelectField(coerce=int, validate_choice=False)
    lat = FloatField(validators=[InputRequired()])
    lon = FloatField(validators=[InputRequired()])
    elevation_ft = FloatField(validators=[InputRequired()])
    time_zone = StringField(validators=[InputRequired(), Length(max=60)])
    state = StringField(validators=[InputRequired(), Length(max=40)])
    majority_age = IntegerField(validators=[InputRequired(), NumberRange(18, 21)])
    meeting = TextAreaField(validators=[InputRequired(), Length(max=500)])
    access = TextAreaField(validators=_TEXT)
    unpaved = BooleanField()
    roads = StringField(validators=_TEXT)
    drive_minutes = StringField(validators=_TEXT)
    minutes_to_signal = IntegerField(validators=[InputRequired(), NumberRange(0, 1440)])
    walk_out_minutes = IntegerField(validators=[InputRequired(), NumberRange(0, 1440)])
    dispatch = StringField(validators=_LINE)
    hospital = StringField(validators=_LINE)
    hospital_minutes = IntegerField(validators=[Optional(), NumberRange(0, 1440)])
    manager = StringField(validators=_LINE)
    effort = StringField(validators=_TEXT)

    def new_site(self) -> NewSite:
        """The site that was described."""
        said = {name: value for name, value in self.data.items() if name != "csrf_token"}
        said = {name: "" if value is None else value for name, value in said.items()}
        said["hospital_minutes"] = self.hospital_minutes.data
        said["drive_minutes"] = self.drive_minutes.data or None
        return NewSite(**said)


class PermissionForm(FlaskForm):
    """What the land manager allows; the last day is inclusive."""

    manager = StringField(validators=[InputRequired(), Length(max=200)])
    from_on = DateField(validators=[InputRequired()])
    last_day = DateField(validators=[InputRequired()])
    taxa = TicksField(coerce=int, validate_choice=False)
    people = IntegerField(validators=[Optional(), NumberRange(1, 500)])
    vehicles = IntegerField(validators=[Optional(), NumberRange(0, 100)])
    notice_days = IntegerField(validators=[Optional(), NumberRange(0, 365)])
    papers = TicksField(coerce=int, validate_choice=False)
    listed_permit = StringField(validators=_LINE)
    report_due = DateField(validators=[Optional()])
    may_name = BooleanField()

    def new_permission(self, site: int) -> NewPermission:
        """The permission that was described."""
        return NewPermission(
            site=site,
            manager=self.manager.data,
            from_on=self.from_on.data,
            last_day=self.last_day.data,
            taxa=dict.fromkeys(self.taxa.data or ()),
            people=self.people.data,
            vehicles=self.vehicles.data,
            notice_days=self.notice_days.data or 0,
            papers=tuple(self.papers.data or ()),
            listed_permit=self.listed_permit.data or "",
            report_due=self.report_due.data,
            may_name=bool(self.may_name.data),
        )


class ClosureForm(FlaskForm):
    """A closure of one site or of a road, in the local time of the site."""

    name = StringField(validators=[InputRequired(), Length(max=200)])
    road = StringField(validators=_LINE)
    from_day = DateField(validators=[InputRequired()])
    from_time = TimeField(validators=[Optional()])
    until_day = DateField(validators=[Optional()])
    until_time = TimeField(validators=[Optional()])
    order_no = StringField(validators=_LINE)
    link = StringField(validators=_TEXT)
    checked_on = DateField(validators=[Optional()])

    def new_closure(self, site: int, time_zone: str) -> NewClosure:
        """The closure that was described; without a road it is of the site."""
        road = (self.road.data or "").strip()
        start = datetime.combine(self.from_day.data, self.from_time.data or time(0))
        until = None
        if self.until_day.data:
            last = datetime.combine(self.until_day.data, self.until_time.data or time(23, 59))
            until = to_utc(last, time_zone, "until_day")
        return NewClosure(
            name=self.name.data,
            from_at=to_utc(start, time_zone, "from_day"),
            until_at=until,
            site=None if road else site,
            road=road,
            order_no=self.order_no.data or "",
            link=self.link.data or "",
            checked_on=self.checked_on.data,
        )


class PopulationForm(FlaskForm):
    """A new population at a site."""

    taxon = SelectField(coerce=int, validate_choice=False)
    zone = SelectField(coerce=int, validate_choice=False)
    ecoregion = SelectField(coerce=number_or_none, validate_choice=False)
    name = StringField(validators=_LINE)
    size_class = SelectField(validators=[Optional()], validate_choice=False)
    elevation_ft = FloatField(validators=[Optional()])
    lat = FloatField(validators=[Optional(), NumberRange(-90, 90)])
    lon = FloatField(validators=[Optional(), NumberRange(-180, 180)])
    wild = BooleanField()
    culturally_used = StringField(validators=_TEXT)
    whom_to_ask = StringField(validators=_TEXT)

    def new_population(self, site: int) -> NewPopulation:
        """The population that was described."""
        known = self.lat.data is not None and self.lon.data is not None
        return NewPopulation(
            site=site,
            taxon=self.taxon.data,
            zone=self.zone.data,
            name=self.name.data or "",
            ecoregion=self.ecoregion.data,
            size_class=self.size_class.data or None,
            elevation_ft=self.elevation_ft.data,
            position=(self.lat.data, self.lon.data) if known else None,
            wild=bool(self.wild.data),
            culturally_used=self.culturally_used.data,
            whom_to_ask=self.whom_to_ask.data,
        )


class SiteCheckForm(FlaskForm):
    """What somebody saw: shares in per cent."""

    on = DateField(validators=[InputRequired()])
    immature = IntegerField(validators=[InputRequired(), NumberRange(0, 100)])
    ripe = IntegerField(validators=[InputRequired(), NumberRange(0, 100)])
    shed = IntegerField(validators=[InputRequired(), NumberRange(0, 100)])
    plants_at_dispersal = IntegerField(validators=[Optional(), NumberRange(0, 10_000_000)])

    def site_check(self, population: int) -> SiteCheck:
        """The site check that was described."""
        return SiteCheck(
            population=population,
            on=self.on.data,
            share_immature=self.immature.data / 100,
            share_ripe=self.ripe.data / 100,
            share_shed=self.shed.data / 100,
            plants_at_dispersal=self.plants_at_dispersal.data,
        )


class SpeciesForm(FlaskForm):
    """A new species with its calendar at a reference place."""

    code = StringField(validators=[InputRequired(), Length(max=20)])
    name = StringField(validators=[InputRequired(), Length(max=200)])
    common_name = StringField(validators=_LINE)
    hold_days = IntegerField(validators=[InputRequired(), NumberRange(1, 365)])
    rare = BooleanField()
    listed = BooleanField()
    look_alike_poisonous = StringField(validators=_LINE)
    ripe_day = DateField(validators=[InputRequired()])
    sd_days = FloatField(validators=[InputRequired(), NumberRange(0.5, 90)])
    lat = FloatField(validators=[InputRequired(), NumberRange(-90, 90)])
    lon = FloatField(validators=[InputRequired(), NumberRange(-180, 180)])
    elevation_ft = FloatField(validators=[InputRequired()])
    source = StringField(validators=[InputRequired(), Length(max=500)])

    def new_taxon(self) -> NewTaxon:
        """The species that was described."""
        return NewTaxon(
            code=self.code.data,
            name=self.name.data,
            common_name=self.common_name.data or "",
            hold_days=self.hold_days.data,
            rare=bool(self.rare.data),
            listed=bool(self.listed.data),
            look_alike_poisonous=self.look_alike_poisonous.data or None,
        )

    def new_calendar(self, taxon: int) -> NewCalendar:
        """Its calendar; of the ripe day only month and day count."""
        return NewCalendar(
            taxon=taxon,
            ripe_doy=self.ripe_day.data.timetuple().tm_yday,
            sd_days=self.sd_days.data,
            lat=self.lat.data,
            lon=self.lon.data,
            elevation_ft=self.elevation_ft.data,
            source=self.source.data,
        )


class ZoneForm(FlaskForm):
    """A seed zone under its published label."""

    label = StringField(validators=[InputRequired(), Length(max=200)])
    kind = RadioField(validators=[InputRequired()], validate_choice=False)
    source = StringField(validators=[InputRequired(), Length(max=500)])
