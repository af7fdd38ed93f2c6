"""Days, times, numbers and lists of names in words, in English and Spanish."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from roster.words.catalogue import translator
from roster.words.entry import mark

_WEEKDAYS: dict[str, tuple[str, ...]] = {
    "en": ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    "es": ("lun", "mar", "mié", "jue", "vie", "sáb", "dom"),
}
_MONTHS: dict[str, tuple[str, ...]] = {
    "en": ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
    "es": ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"),
}
_NUMBERS: dict[str, tuple[str, ...]] = {
    "en": (
        *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
        *("eleven", "twelve"),
    ),
    "es": (
        *("ninguno", "uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve"),
        *("diez", "once", "doce"),
    ),
}
_TO = mark("{first} to {last}")
NO_BREAK = "\u00a0"


def _of(table: dict[str, tuple[str, ...]], language: str) -> tuple[str, ...]:
    return table.get(language, table["en"])


def weekday(day: date, language: str = "en") -> str:
    """The short weekday: "Sat"."""
    return _of(_WEEKDAYS, language)[day.weekday()]


def month(day: date, language: str = "en") -> str:
    """The short month: "Jul"."""
    return _of(_MONTHS, language)[day.month - 1]


def day_short(day: date, language: str = "en") -> str:
    """A day of this season: "Sat 11 Jul"."""
    return f"{weekday(day, language)} {day.day} {month(day, language)}"


def day(day: date, language: str = "en") -> str:
    """A day with its weekday and year: "Sat 11 Jul 2026"."""
    return f"{day_short(day, language)} {day.year}"


def abbreviation(at: datetime) -> str:
    """The zone's abbreviation at that instant: "MDT"; "UTC-03" where the zone has none."""
    name = at.tzname() or ""
    return f"UTC{name}" if name[:1] in "+-" else name


def local(at: datetime, time_zone: str | None) -> datetime:
    """An aware instant in a named zone (or in its own where none is given)."""
    if at.tzinfo is None:
        raise ValueError("an instant without a zone cannot be said")
    return at.astimezone(ZoneInfo(time_zone)) if time_zone else at


def time(at: datetime, time_zone: str | None = None, language: str = "en") -> str:
    """The time of day with its zone: "08:00 MDT" (the same in every language)."""
    there = local(at, time_zone)
    return f"{there:%H:%M}{NO_BREAK}{abbreviation(there)}"


def moment(at: datetime, time_zone: str | None = None, language: str = "en") -> str:
    """Day and time: "Sat 11 Jul 2026, 08:00 MDT"."""
    there = local(at, time_zone)
    return f"{day(there.date(), language)}, {time(there)}"


def moment_short(at: datetime, time_zone: str | None = None, language: str = "en") -> str:
    """Day and time without the year: "Sat 11 Jul, 08:00 MDT"."""
    there = local(at, time_zone)
    return f"{day_short(there.date(), language)}, {time(there)}"


def span(start: datetime, end: datetime, time_zone: str | None = None, language: str = "en") -> str:
    """From when to when: "Sun 20 Jun 2027, 07:00 to 12:30 PDT"; both days if it ends on another."""
    first, last = local(start, time_zone), local(end, time_zone)
    if first.date() != last.date():
        return _to(moment(first, None, language), moment(last, None, language), language)
    same_zone = abbreviation(first) == abbreviation(last)
    begins = f"{first:%H:%M}" if same_zone else time(first)
    return f"{day(first.date(), language)}, {_to(begins, time(last), language)}"


def days(first: date, last: date, language: str = "en") -> str:
    """From the first day to the last valid day, both inclusive: "Tue 1 Jun to Sat 31 Jul 2027"."""
    if first == last:
        return day(first, language)
    begins = day_short(first, language) if first.year == last.year else day(first, language)
    return _to(begins, day(last, language), language)


def _to(first: str, last: str, language: str) -> str:
    return translator(language).gettext(_TO).format(first=first, last=last)


def list_of(names: Sequence[str], language: str = "en") -> str:
    """Names in a sentence: "Ana, Bea and Cal"; "Ana, Bea e Inés" in Spanish."""
    if len(names) < 2:
        return "".join(names)
    join = "and"
    if language == "es":
        join = "e" if _sounds_like_i(names[-1]) else "y"
    return f"{', '.join(names[:-1])} {join} {names[-1]}"


def _sounds_like_i(name: str) -> bool:
    start = name.strip().lower()
    return start.startswith(("i", "í", "hi", "hí")) and not start.startswith(("hie", "hia", "ie"))


def number(value: float, language: str = "en") -> str:
    """A whole number with its thousands parted: "1,200"; a fraction with one digit: "5.5"."""
    text = f"{int(value):,}" if float(value).is_integer() else f"{value:,.1f}"
    return text.translate(str.maketrans(",.", ".,")) if language == "es" else text


def number_word(value: int, language: str = "en") -> str:
    """A number up to twelve in letters, "no" for none; figures above."""
    words = _of(_NUMBERS, language)
    return words[value] if 0 <= value < len(words) else number(value, language)


def percent(share: float) -> str:
    """A share between 0 and 1 as "85 %"; never 100 or 0 by rounding alone."""
    whole = round(share * 100)
    if whole == 100 and share < 1:
        whole = 99
    if whole == 0 and share > 0:
        return f"<{NO_BREAK}1{NO_BREAK}%"
    return f"{whole}{NO_BREAK}%"


def hours(minutes: int, language: str = "en") -> str:
    """Minutes as hours: "5.5"."""
    return number(round(minutes / 60, 1), language)
