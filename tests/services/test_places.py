"""Use cases of places and plants, on both databases."""

from datetime import UTC, date, datetime, timedelta

import pytest

from roster.domain.errors import BadInput, NotAllowed, NotFound, RuleBroken
from roster.domain.people import Actor, ActorKind, Grant, StaffRole
from roster.services import places, plants
from roster.services.places import NewClosure, NewSite
from roster.services.plants import NewPopulation, SiteCheck
from roster.store.plant_values import PlantFilter
from roster.store.transaction import read
from tests.support.land import ACTOR, PACIFIC, SOURCE, add_site, land, permit

pytestmark = pytest.mark.usefixtures("both")


def window(number):
    row = read(lambda store: store.places.population(number, 1))
    return plants.window_of(row)


def journal(kind, number):
    return read(lambda store: [line.verb for line in store.journal.of(kind, number)])


def test_a_populations_first_window_is_its_calendar_moved_by_height_and_latitude():
    ground = land()
    # Hopkins: 0.4 degrees north = 1.6 d, 0.05 degrees west = -0.04 d, 400 ft up = 4 d
    found = window(ground.population)
    assert found.mean == pytest.approx(date(2027, 6, 15).toordinal() + 1.6 - 0.04 + 4)
    assert (found.sd_days, found.hold_days) == (6, 10)


def test_a_site_check_moves_and_narrows_the_window_and_is_in_the_journal():
    ground = land()
    before = window(ground.population)
    seen = SiteCheck(ground.population, date(2027, 6, 15), 0.5, 0.5, 0.0, plants_at_dispersal=240)
    plants.record_site_check(ACTOR, seen)
    after = window(ground.population)
    assert after.sd_days < before.sd_days
    assert after.mean < before.mean
    assert journal("population", ground.population) == ["recorded_site_check", "added"]


def test_a_site_check_taken_back_stays_on_record_and_no_longer_counts():
    ground = land()
    before = window(ground.population)
    seen = SiteCheck(ground.population, date(2027, 6, 15), 0.5, 0.5, 0.0)
    number = plants.record_site_check(ACTOR, seen)
    plants.void_site_check(ACTOR, ground.population, number, "another plant")
    assert window(ground.population) == before
    with pytest.raises(RuleBroken):
        plants.void_site_check(ACTOR, ground.population, number, "again")


def test_a_site_check_of_a_day_to_come_is_refused():
    ground = land()
    with pytest.raises(BadInput) as caught:
        plants.record_site_check(ACTOR, SiteCheck(ground.population, date(2027, 6, 18), 1, 0, 0))
    assert (caught.value.field, caught.value.reason.code) == ("on", "day_to_come")


def test_a_permission_is_read_back_with_its_species_and_ceilings():
    ground = land()
    other = permit(ground.site, [], people=8, vehicles=2, notice_days=7, listed_permit="P-17")
    first, second = read(lambda store: store.places.permissions([ground.site]))
    assert (first.id, dict(first.taxa)) == (ground.permission, {ground.taxon: None})
    assert first.last_day == date(2027, 7, 31)
    assert (second.id, second.people, second.vehicles, second.notice_days) == (other, 8, 2, 7)
    assert second.listed_permit == "P-17"
    lines = read(lambda store: store.places.permission_lines(ground.site))
    assert {line.taxa for line in lines} == {("Balsamorhiza sagittata",), ()}


def test_a_permission_whose_last_day_is_before_its_first_is_refused_and_nothing_is_kept():
    ground = land()
    with pytest.raises(BadInput):
        permit(ground.site, [], last_day=date(2027, 5, 31))
    assert len(read(lambda store: store.places.permissions([ground.site]))) == 1


def test_a_closure_of_an_area_is_read_back_while_it_is_in_force():
    ground = land()
    start = datetime(2027, 6, 19, 12, tzinfo=UTC)
    outline = ((46.0, -118.0), (46.0, -116.0), (47.5, -116.0), (47.5, -118.0))
    number = places.add_closure(
        ground.actor, NewClosure("fire", start, start + timedelta(days=2), area=outline)
    )
    there = read(lambda store: store.places.closures(start, start + timedelta(hours=1)))
    assert [(c.id, c.area) for c in there] == [(number, outline)]
    later = start + timedelta(days=2)
    assert read(lambda store: store.places.closures(later, later + timedelta(days=1))) == []


def test_two_sites_cannot_have_one_name_whatever_the_capitals():
    ground = land()
    with pytest.raises(BadInput) as caught:
        add_site(ground.region, name="marrow  BUTTE")
    assert caught.value.reason.code == "site_is_there"


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"lat": 91.0}, "lat"),
        ({"lon": float("nan")}, "lon"),
        ({"time_zone": "Pacific/Nowhere"}, "time_zone"),
        ({"majority_age": 17}, "majority_age"),
        ({"name": " "}, "name"),
        ({"meeting": "x" * 501}, "meeting"),
    ],
)
def test_a_bad_value_of_a_site_is_refused_by_its_field(changed, field):
    ground = land()
    with pytest.raises(BadInput) as caught:
        add_site(ground.region, **({"name": "Cinder Canyon"} | changed))
    assert caught.value.field == field
    assert read(lambda store: store.places.site_named("Cinder Canyon")) is None


def test_a_regional_coordinator_adds_sites_in_their_own_region_only():
    ground = land()
    person = _regional(ground.region)
    site = NewSite("Saddle Lake", ground.region, 46.7, -117.4, PACIFIC, "Washington", "Gate")
    assert places.add_site(person, site)
    other = NewSite("Bell Creek", ground.other_region, 46.7, -117.4, PACIFIC, "Washington", "Gate")
    with pytest.raises(NotAllowed):
        places.add_site(person, other)


def _regional(region):
    """A regional coordinator with an account."""
    from roster.store.models.people import person, staff_grant
    from roster.store.transaction import write

    def body(store):
        number = store.unit.insert(
            person, name="Imke Raske", name_key="Imke Raske", state="active",
            added_at=store.unit.at,
        )  # fmt: skip
        store.unit.insert(
            staff_grant, person=number, role="regional", region=region,
            from_on=date(2027, 1, 1), until_on=None,
        )  # fmt: skip
        store.unit.note("added", "person", number)
        return number

    number = write(body, actor=ACTOR)
    grant = Grant(StaffRole.REGIONAL, region, date(2027, 1, 1), None)
    return Actor(ActorKind.PERSON, "Imke Raske", number, (grant,))


def test_a_population_of_a_species_that_is_not_recorded_is_refused_by_its_field():
    ground = land()
    with pytest.raises(BadInput) as caught:
        plants.add_population(ACTOR, NewPopulation(ground.site, 999, ground.zone))
    assert caught.value.field == "taxon"


def test_the_exact_position_stands_apart():
    ground = land()
    number = plants.add_population(
        ACTOR, NewPopulation(ground.site, ground.taxon, ground.zone, position=(46.91, -117.06))
    )
    assert read(lambda store: store.places.positions([number])) == {number: (46.91, -117.06)}
    row = read(lambda store: store.places.population(number, 1))
    assert (row.lat, row.lon) == (46.9, -117.05)  # the site's


def test_a_zones_published_label_is_kept_with_its_bands():
    ground = land()
    places.add_zone(ACTOR, "20 - 25 Deg. F. / < 2", source=SOURCE)
    labels = [z.label for z in read(lambda store: store.places.zones())]
    assert labels == ["15 - 20 Deg. F. / 3 - 6", "20 - 25 Deg. F. / < 2"]
    assert ground.zone


def test_lists_are_paged_and_scoped_to_regions():
    ground = land()
    for n in range(3):
        add_site(ground.other_region, name=f"Site {n}")
    every, total = read(lambda store: store.places.site_lines(None, offset=0, limit=2))
    assert (len(every), total) == (2, 4)
    mine, total = read(lambda store: store.places.site_lines([ground.region], offset=0, limit=9))
    assert ([s.name for s in mine], total) == (["Marrow Butte"], 1)
    wanted = PlantFilter([ground.other_region], 1)
    assert read(lambda store: store.places.population_page(wanted, offset=0, limit=9)) == ([], 0)
    found = PlantFilter(None, 1, "BALSAM")
    rows, total = read(lambda store: store.places.population_page(found, offset=0, limit=9))
    assert ([r.id for r in rows], total) == ([ground.population], 1)


def test_a_site_that_is_not_there_is_said_so():
    with pytest.raises(NotFound):
        read(lambda store: store.places.site(4711))


def test_a_lifted_closure_no_longer_stops_and_stays_on_record(clock):
    ground = land()
    start = datetime(2027, 6, 10, 12, tzinfo=UTC)
    number = places.add_closure(ground.actor, NewClosure("fire", start, site=ground.site))
    fresh = places.lift_closure(ground.actor, ground.site, number)
    later = clock.now() + timedelta(days=1)
    assert read(lambda store: store.places.closures(later, later)) == []
    was = read(lambda store: store.places.closures(start, start + timedelta(hours=1)))
    assert [(c.id, c.until_at) for c in was] == [(fresh, clock.now())]
    with pytest.raises(NotFound):
        places.lift_closure(ground.actor, ground.site, number)
    with pytest.raises(RuleBroken):
        places.lift_closure(ground.actor, ground.site, fresh)


def test_a_closure_that_has_not_begun_is_lifted_without_a_trace_in_time():
    ground = land(roads="Ridge Road")
    start = datetime(2027, 7, 1, 12, tzinfo=UTC)
    number = places.add_closure(ground.actor, NewClosure("road work", start, road="Ridge Road"))
    assert places.lift_closure(ground.actor, ground.site, number) == 0
    assert read(lambda store: store.places.closures(start, start + timedelta(days=1))) == []


def test_a_closure_is_lifted_only_from_a_site_that_it_covers_and_by_its_region():
    ground = land()
    other = add_site(ground.other_region, name="Saddle Lake")
    start = datetime(2027, 6, 10, 12, tzinfo=UTC)
    number = places.add_closure(ground.actor, NewClosure("fire", start, site=ground.site))
    with pytest.raises(NotFound):
        places.lift_closure(ground.actor, other, number)
    person = _regional(ground.other_region)
    with pytest.raises(NotAllowed):
        places.lift_closure(person, ground.site, number)
    with pytest.raises(NotAllowed):
        places.add_closure(person, NewClosure("fire", start, site=ground.site))
