"""Topics of the briefing: the text is spoken, the rule is the topic's name. Usual cautions only."""

from roster.words.entry import COMMON, Entry, mark

_TICKS = mark("OSHA and CDC on tick bites")
_THUNDER = mark("OSHA/NOAA Lightning Safety When Working Outdoors (OSHA 3863, 2016)")
_WAY = mark("Forest Service desk guide, vehicles: more accidents on the way than at the site")

TOPICS: dict[str, Entry] = {
    "topic_driving": Entry(
        mark(
            "Belts on, no phone at the wheel, rested drivers, slow on gravel, nobody in the bed of "
            "a truck. {note}"
        ),
        None,
        rule=mark("Driving"),
        source=_WAY,
    ),
    "topic_calling": Entry(
        mark(
            "Danger to life: {dispatch} first, then the duty person. Hospital: {hospital}. Say "
            "where we are and the best way in. {note}"
        ),
        None,
        rule=mark("How and where to call"),
        source=COMMON,
    ),
    "topic_calling_no_signal": Entry(
        mark(
            "No signal here: the nearest is {signal} minutes away. Danger to life: {dispatch} "
            "first, then the duty person. Hospital: {hospital}. One stays with the hurt, two go. "
            "{note}"
        ),
        None,
        rule=mark("How and where to call"),
        source=COMMON,
    ),
    "topic_lightning": Entry(
        mark("Any thunder: to the cars at once, until 30 minutes after the last. {note}"),
        None,
        rule=mark("Lightning"),
        source=_THUNDER,
    ),
    "topic_heat": Entry(
        mark(
            "Water every 20 minutes, rest in shade, watch each other. Confused or no longer "
            "sweating: cool and call. {note}"
        ),
        None,
        rule=mark("Heat"),
        source=mark("OSHA on heat; common practice"),
    ),
    "topic_smoke": Entry(
        mark("Smoke: who feels it says so; we stop at the line and go home. {note}"),
        None,
        rule=mark("Smoke"),
        source=COMMON,
    ),
    "topic_fire": Entry(
        mark(
            "Park on bare ground, no smoking, know two ways out. Smoke column: to the cars. {note}"
        ),
        None,
        rule=mark("Fire"),
        source=COMMON,
    ),
    "topic_traffic": Entry(
        mark("Vests on, face the traffic, children and bags away from the road. {note}"),
        None,
        rule=mark("Traffic"),
        source=COMMON,
    ),
    "topic_slope": Entry(
        mark("Loose ground: nobody directly below another; turn back early. {note}"),
        None,
        rule=mark("Slope"),
        source=COMMON,
    ),
    "topic_water": Entry(
        mark("Stay out of moving water; clouds upstream mean leave the wash. {note}"),
        None,
        rule=mark("Water"),
        source=COMMON,
    ),
    "topic_look_alikes": Entry(
        mark("These can poison and look alike: {names:list}. Ask before you pick. {note}"),
        None,
        rule=mark("Poisonous look-alikes"),
        source=COMMON,
    ),
    "topic_plants_unnamed": Entry(
        mark("Plants here can harm. Ask before you touch or pick. {note}"),
        None,
        rule=mark("Poisonous look-alikes"),
        source=COMMON,
    ),
    "topic_blades": Entry(
        mark("Blades closed when you walk, gloves on, cut away from yourself. {note}"),
        None,
        rule=mark("Blades"),
        source=COMMON,
    ),
    "topic_snakes_stings": Entry(
        mark(
            "Look before you reach or step. Bitten: still, call, no cutting. Who reacts to stings "
            "tells the lead now. {note}"
        ),
        None,
        rule=mark("Snakes and stings"),
        source=COMMON,
    ),
    "topic_ticks": Entry(
        mark("Light long trousers in socks, repellent, look yourself over at the end. {note}"),
        None,
        rule=mark("Ticks"),
        source=_TICKS,
    ),
    "topic_livestock": Entry(
        mark("Leave gates as found, walk round cattle and guard dogs. {note}"),
        None,
        rule=mark("Livestock"),
        source=COMMON,
    ),
    "topic_dust": Entry(
        mark("Dust and rodent droppings: do not stir or sweep them; upwind is better. {note}"),
        None,
        rule=mark("Dust"),
        source=COMMON,
    ),
    "topic_spray": Entry(
        mark("Verges and fields may be sprayed: gloves on, wash before you eat. {note}"),
        None,
        rule=mark("Sprayed ground"),
        source=COMMON,
    ),
    "topic_hunting": Entry(
        mark("Hunting season: bright orange, talk, stay together. {note}"),
        None,
        rule=mark("Hunting season"),
        source=mark("state rules differ; see the land manager"),
    ),
    "topic_cold": Entry(
        mark("Dry layers, food, turn back when somebody shivers. {note}"),
        None,
        rule=mark("Cold"),
        source=COMMON,
    ),
    "topic_sun": Entry(
        mark("Hat, long sleeves, sun cream, eye protection. {note}"),
        None,
        rule=mark("Sun"),
        source=COMMON,
    ),
    "topic_medicines": Entry(
        mark("Own medicines on the body, not in the car; tell the lead where, if you wish. {note}"),
        None,
        rule=mark("Own medicines"),
        source=COMMON,
    ),
    "topic_minors": Entry(
        mark(
            "{names:list}: in sight of both named adults, nobody alone with another's child, also "
            "in a car. {note}"
        ),
        None,
        rule=mark("Minors"),
        source=mark("after California Business and Professions Code 18975"),
    ),
    "topic_other": Entry(
        mark("Here there is: {hazard}. {note}"),
        None,
        rule=mark("At this place"),
        source=COMMON,
    ),
}
