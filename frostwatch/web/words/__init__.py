"""The words of the pages, and how hours and amounts are written.

Texts are whole sentences with placeholders. They may hold the little markup that a sentence needs;
what is put into them is escaped.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property, partial
from zoneinfo import ZoneInfo

from markupsafe import Markup

from frostwatch.fleet.people import Language
from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.languages.phrases import formed, one_stop
from frostwatch.messages.wording import CATALOGUES
from frostwatch.messages.wording.draft import Form
from frostwatch.messages.wording.say import NBSP, Speech
from frostwatch.messages.wording.texts import Words
from frostwatch.told import FAULTS, Told, told, told_by
from frostwatch.web.words.catalogue import PageWords
from frostwatch.web.words.en import WORDS

PAGE_WORDS = InEveryLanguage(WORDS, domain="pages", units_held=True)
FAULT_WORDS = InEveryLanguage(FAULTS, domain="faults")


@dataclass(frozen=True, kw_only=True)
class Tongue:
    """One language at one place and moment.

    Attributes:
        language: language of the page.
        zone: time zone of the place.
        now: the moment, UTC.
    """

    language: Language
    zone: ZoneInfo
    now: datetime

    @property
    def words(self) -> PageWords:
        """The words of the pages."""
        return PAGE_WORDS[self.language]

    @property
    def shared(self) -> Words:
        """Words that messages use too."""
        return CATALOGUES[self.language].words

    @cached_property
    def speech(self) -> Speech:
        """How hours and amounts are written."""
        return Speech(
            language=self.language,
            form=Form.LONG,
            zone=self.zone,
            now=self.now,
            words=self.shared,
        )

    def __call__(self, key: str, **values: object) -> Markup:
        """A sentence, filled. Of one that counts, the number chooses the form.

        What is put in may end with the stop of a date, ``30.11.``: a second one is left out.
        """
        text = Markup(formed(self.words.texts[key], values))
        if not values:
            return text
        said = {n: self.fault(v) if isinstance(v, Told) else v for n, v in values.items()}
        return Markup(one_stop(text.format(**said)))

    def fault(self, cause: str | Exception) -> Markup:
        """What is wrong with what was entered; what nobody can translate is told word for word."""
        said = told_by(cause) if isinstance(cause, Exception) else cause
        if not isinstance(said, Told):
            said = told("verbatim", what=said)
        values = {name: self._filling(name, value) for name, value in said.values.items()}
        if said.key == "verbatim" and self.language is not Language.EN:
            values["what"] = Markup('<span lang="en">{}</span>').format(said.values["what"])
        return Markup(FAULT_WORDS[self.language][said.key]).format(**values)

    def fault_text(self, cause: str | Exception) -> str:
        """The same without markup."""
        return self.fault(cause).striptags()

    def _filling(self, name: str, value: object) -> object:
        """What is put into the sentence of a fault; names of columns have their own in it."""
        if isinstance(value, Told):
            return self.fault(value)
        if name not in ("field", "fields"):
            return value
        columns = self.words.columns
        return ", ".join(columns.get(one, one) for one in str(value).split(", "))

    def inside(self, words: str) -> str:
        """Words that begin a line, as they stand inside a sentence; German has nouns."""
        return words if self.language is Language.DE else words[:1].lower() + words[1:]

    def has(self, key: str) -> bool:
        """Whether there is such a sentence."""
        return key in self.words.texts

    @cached_property
    def _said(self) -> dict[tuple[str, datetime], Markup]:
        """Hours that were put into words already: long lists name the same few over and over."""
        return {}

    def _once(self, how: str, moment: datetime, say: Callable[[datetime], str]) -> Markup:
        found = self._said.get((how, moment))
        if found is None:
            found = self._said[how, moment] = self._time(moment, say(moment))
        return found

    def _time(self, moment: datetime, text: str) -> Markup:
        at = moment.astimezone(self.zone).isoformat(timespec="minutes")
        return Markup('<time class="when" datetime="{}">{}</time>').format(at, text)

    def hour(self, moment: datetime) -> Markup:
        """An hour that was, or that was fixed."""
        return self._once("hour", moment, self.speech.hour)

    def about(self, moment: datetime) -> Markup:
        """An hour that is a forecast."""
        return self._once("about", moment, self.speech.forecast_hour)

    def early(self, moment: datetime) -> Markup:
        """The earliest hour of a forecast: rounded to the earlier side."""
        return self._once("early", moment, partial(self.speech.forecast_hour, down=True))

    def by(self, moment: datetime) -> Markup:
        """The hour to work to."""
        return Markup('<span class="by">{}</span>').format(self.hour(moment))

    def plain_hour(self, moment: datetime) -> str:
        """The same without markup, for titles and labels."""
        return self.speech.hour(moment)

    def clock(self, moment: datetime) -> str:
        """Time of day at the place."""
        return self.speech.clock(moment.astimezone(self.zone))

    def day(self, moment: datetime) -> str:
        """Day of the week and date."""
        at = moment.astimezone(self.zone)
        return f"{self.shared.days[at.weekday()]}{NBSP}{self.speech.date(at.date())}"

    def weekday(self, moment: datetime) -> str:
        """Day of the week."""
        return self.shared.days[moment.astimezone(self.zone).weekday()]

    def date(self, moment: datetime) -> str:
        """Date without its year."""
        return self.speech.date(moment.astimezone(self.zone).date())

    def degrees(self, celsius: float) -> str:
        """A temperature with its unit."""
        return f"{self.speech.degrees(celsius)}{NBSP}°C"

    def litres(self, litres: float) -> str:
        """An amount of water."""
        if 0.0 < litres < 0.1:
            litres = 0.1
        return self.speech.litres(litres)

    def minutes(self, minutes: float) -> str:
        """A stretch of work."""
        return self.speech.minutes(minutes)

    def crew_hours(self, minutes: float) -> str:
        """Work of a whole round."""
        return self.speech.number(minutes / 60.0, 1)

    def percent(self, share: float) -> str:
        """A share in per cent."""
        return f"{round(100.0 * share)}{NBSP}%"

    def listed(self, names: Sequence[str]) -> str:
        """Names, the last one joined by "and"."""
        if len(names) < 2:
            return "".join(names)
        return f"{', '.join(names[:-1])} {self.words.texts['and']} {names[-1]}"
