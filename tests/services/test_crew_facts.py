"""The crew check on facts made through the use cases: training, papers, guardians.

W1 and W2 of tests/checks/trade_rules.csv: a volunteer aged 17 without guardian consent may not
serve (FWS 150 FW 2); an agreement signed 13 months ago has expired (NPS RM-7 ch. 5).
"""

from datetime import date

import pytest

from roster.domain.errors import RuleBroken
from roster.domain.people import Role
from roster.domain.training import StepKind
from roster.services import crewcheck, leads, papers, people, places, plants, spots, training
from roster.services.people import NewPerson
from roster.services.plants import NewPopulation, NewTaxon
from roster.services.training import NewStep, NewTrack
from roster.store.models.people import guardian
from roster.store.transaction import read
from tests.support import trained
from tests.support.crews import TEST, act, as_person, open_event
from tests.support.land import ACTOR, EVENT_DAY, Land, add_site, permit
from tests.support.trained import CLI, START, cleared_lead, programme, sign

pytestmark = pytest.mark.usefixtures("both")
MAY = date(2027, 5, 4)


class Season:
    """A programme whose land asks for the agreement, and adults who may go."""

    def __init__(self, signal=0):
        self.made = programme()
        training.define_step(CLI, NewStep("screened", "Screening", StepKind.SCREENING,
                                          from_on=START))  # fmt: skip
        for code, role, steps in (
            ("records", Role.DATA_COLLECTOR, ("ethics", "signed", "screened")),
            ("aid", Role.FIRST_AIDER, ("aid",)),
        ):
            training.define_track(CLI, NewTrack(code, code, role, 18, steps, from_on=START))
        zone = places.add_zone(ACTOR, "15 - 20 Deg. F. / 3 - 6", source="invented for tests")
        taxon = plants.add_taxon(ACTOR, NewTaxon("BASA3", "Balsamorhiza sagittata", 10))
        site = add_site(self.made.region, minutes_to_signal=signal)
        permission = permit(site, [taxon], papers=(self.made.forms["agreement"],))
        population = plants.add_population(ACTOR, NewPopulation(site, taxon, zone))
        self.ground = Land(self.made.region, zone, taxon, site, permission, population, 0)
        self.event = open_event(self.ground, vehicles=2)
        self.lead = self.adult("Ana Ferrer", "Ferrer")
        self.collector = self.adult("Mina Sato", "Sato")
        leads.agree_for(TEST, self.event, self.lead, Role.LEAD)
        leads.agree_for(TEST, self.event, self.collector, Role.DATA_COLLECTOR)

    def adult(self, name, household, signed=MAY):
        number = cleared_lead(self.made, name, household=household)
        training.record_completion(CLI, number, "screened", MAY)
        sign(number, self.made, "agreement", signed)
        return number

    def join(self, number):
        return spots.sign_up(as_person(number), self.event, number)["state"]

    def minor(self, born_on=date(2010, 3, 1), agreement=True):
        number = trained.minor(self.made, born_on)
        guardians = read(lambda s: s.invitations.guardians([number], EVENT_DAY))
        if agreement:
            sign(number, self.made, "agreement", MAY, guardians[0].id)
        return number

    def codes(self, level="stop"):
        found = crewcheck.check(TEST, self.event).findings
        return {f.reason.code for f in found if f.level == level} - {
            "duty_person_missing", "stand_in_missing",
        }  # fmt: skip


def test_trained_people_with_their_papers_may_go():
    season = Season()
    assert season.join(season.adult("Omar Haddad", "Haddad")) == "placed"
    assert season.codes() == set()
    assert season.codes("caution") == set()


def test_an_agreement_of_thirteen_months_ago_has_lapsed_and_keeps_the_crew_at_home():
    season = Season()
    late = season.adult("Omar Haddad", "Haddad", signed=date(2026, 5, 20))  # 13 months before
    season.join(late)
    assert season.codes() == {"member_lacks_papers"}
    sign(late, season.made, "agreement", date(2027, 6, 16))
    assert season.codes() == set()
    kept = read(lambda s: s.summary.of(season.event))
    assert [f.reason.code for f in kept.findings] == []


def test_a_minor_with_consent_and_two_screened_adults_of_two_households_may_go():
    season = Season()
    season.join(season.adult("Omar Haddad", "Haddad"))
    assert season.join(season.minor()) == "placed"
    assert season.codes() == set()
    assert {"two_adults_there", "guardian_consent_there"} <= season.codes("clear")


def test_a_minor_without_consent_may_not_sign_up():
    season = Season()
    number = people.add_person(CLI, NewPerson("Teo Marsh", born_on=date(2010, 3, 1)))
    training.record_completion(CLI, number, "ethics", MAY)
    with pytest.raises(RuleBroken) as refused:
        season.join(number)
    codes = [r.code for r in refused.value.reasons]
    assert "guardian_consent_missing" in codes
    assert "guardian_yes_missing" in codes


def test_a_consent_that_does_not_name_places_without_signal_does_not_hold_there():
    season = Season(signal=10)
    with pytest.raises(RuleBroken) as refused:
        season.join(season.minor())
    assert [r.code for r in refused.value.reasons] == ["guardian_yes_missing"]


def test_a_consent_that_is_withdrawn_later_stops_the_crew():
    season = Season()
    season.join(season.adult("Omar Haddad", "Haddad"))
    number = season.minor()
    season.join(number)
    consent = next(
        s.id
        for s in read(lambda t: t.facts.of(number)).signatures
        if s.form.kind == "guardian_consent"
    )
    papers.withdraw_signature(CLI, consent, date(2027, 6, 17), "the guardian has withdrawn it")
    assert {"guardian_consent_lacks", "member_not_cleared"} <= season.codes()
    kept = read(lambda s: s.summary.of(season.event))
    assert "guardian_consent_lacks" in [f.reason.code for f in kept.findings]


def test_a_fourteen_year_old_comes_only_with_an_own_guardian_on_the_crew():
    season = Season()
    young = season.minor(born_on=date(2012, 7, 1))
    with pytest.raises(RuleBroken) as refused:
        season.join(young)
    assert [r.code for r in refused.value.reasons] == ["too_young_alone"]
    parent = season.adult("Olle Lindqvist", "Lindqvist")
    make_guardian(young, parent)
    season.join(parent)
    assert season.join(young) == "placed"
    assert "own_guardian_there" in season.codes("clear")
    assert season.codes() == set()
    spots.withdraw(as_person(parent), season.event, parent)
    assert "own_guardian_not_there" in season.codes()


def make_guardian(minor, adult):
    act(
        lambda s: s.unit.run(
            guardian.update().where(guardian.c.person == minor).values(guardian_person=adult)
        )
    )
