"""What people read, compared whole with golden copies, and held to its limits."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.languages.phrases import Counted, leaves
from frostwatch.messages.wording import CATALOGUES, hazards_for, word, word_answer
from frostwatch.messages.wording.draft import Draft, Form, Job, Kind, Take, Voice
from frostwatch.messages.wording.fill import known_placeholders
from frostwatch.messages.wording.gsm import BASIC, EXTENDED, LIMIT, is_gsm, length, to_gsm
from tests.messages.drafts import DRAFTS, MAELLE, YARD, utc

EVERY = [(name, language, form) for name in DRAFTS for language in Language for form in Form]
NEVER = (
    "protected",
    "safe",
    "guarantee",
    "alert",
    "alarm",
    "winterise",
    "geschützt",
    "sicher ",
    "garantiert",
    "protégé",
    "garanti",
    "alerte",
    "you forgot",
    "!",
)


@pytest.mark.parametrize(("name", "language", "form"), EVERY)
def test_every_message_reads_as_its_golden_copy(
    name: str, language: Language, form: Form, golden: Callable[[str, str], None]
) -> None:
    text = word(DRAFTS[name], language, form)
    shown = text.body if form is Form.SHORT else f"{text.subject}\n\n{text.body}"
    golden(f"{name}.{language.value}.{form.value}", shown)


@pytest.mark.parametrize(("name", "language"), [(n, g) for n, g, f in EVERY if f is Form.SHORT])
def test_every_short_form_is_one_text_message(name: str, language: Language) -> None:
    # 3GPP TS 23.038: 160 septets of the default alphabet make one message.
    body = word(DRAFTS[name], language, Form.SHORT).body
    assert is_gsm(body)
    assert length(body) <= LIMIT
    assert body.endswith(DRAFTS[name].link)


@pytest.mark.parametrize(("name", "language", "form"), EVERY)
def test_no_message_sells_relief_or_cries(name: str, language: Language, form: Form) -> None:
    text = word(DRAFTS[name], language, form)
    said = f"{text.subject} {text.body}".lower()
    for foot in (
        "not a public warning",
        "keine amtliche warnung",
        "carbon monoxide alarm",
        "kohlenmonoxid-melder",
    ):
        said = said.replace(foot, "")
    assert not [words for words in NEVER if words in said]
    assert "warning" not in said
    assert "%" not in said.replace("50 %", "")


@pytest.mark.parametrize(("name", "language"), [(n, g) for n, g, f in EVERY if f is Form.LONG])
def test_every_long_form_ends_with_the_foot_and_credits_the_data(
    name: str, language: Language
) -> None:
    draft = DRAFTS[name]
    body = word(draft, language, Form.LONG).body
    last = {Language.EN: "handbook", Language.DE: "Betriebsanleitung", Language.FR: "notice"}
    assert last[language] in body.split("\n\n")[-1]
    assert all(credit in body for credit in draft.facts.credit)
    assert draft.stop in body
    assert draft.link in body


@pytest.mark.parametrize("name", DRAFTS)
def test_only_long_forms_are_set_with_a_true_minus(name: str) -> None:
    for language in Language:
        assert "−" not in word(DRAFTS[name], language, Form.SHORT).body
        assert not re.search(r"(?<![\w-])-\d", word(DRAFTS[name], language, Form.LONG).body)


def test_every_placeholder_is_known_and_every_circuit_job_and_thing_has_a_word() -> None:
    texts = CATALOGUES.english
    filled = (texts.short, texts.long, texts.foot, (texts.older, texts.credit, texts.link))
    forms = [
        (leaf.one, leaf.more) if isinstance(leaf, Counted) else (leaf,)
        for _, leaf in leaves(filled)
    ]
    used = {name for form in forms for text in form for name in re.findall(r"\{(\??\w+)\}", text)}
    assert used <= known_placeholders()
    assert set(texts.words.parts) == set(Circuit)
    assert set(texts.words.jobs) == set(Job)
    assert set(texts.words.takes) == set(Take)
    assert (len(texts.words.days), len(texts.words.months)) == (7, 12)


def test_every_kind_has_a_text() -> None:
    said = {draft.kind for draft in DRAFTS.values()}
    assert said == set(Kind)


@given(
    place=st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1),
    vans=st.lists(st.text(st.characters(min_codepoint=33, max_codepoint=0x24F), min_size=1)),
    name=st.sampled_from(sorted(DRAFTS)),
    language=st.sampled_from(list(Language)),
    link=st.sampled_from(["", "fw.example/r/4kq", "frost.example.org/a/0123456789abcdef"]),
)
def test_whatever_places_and_vans_are_called_the_hour_stays_and_160_are_enough(
    place: str, vans: list[str], name: str, language: Language, link: str
) -> None:
    draft = DRAFTS[name]
    facts = replace(draft.facts, place=place, vans=tuple(vans), first=tuple(vans[:5]))
    draft = replace(draft, facts=facts, link=link)
    body = word(draft, language, Form.SHORT).body
    assert is_gsm(body)
    assert length(body) <= LIMIT
    assert body.endswith(link)
    if draft.kind in (Kind.WORK_ORDER, Kind.LAST_CALL):
        assert re.search(r"\d\d?(:|h)", body)


def test_the_alphabet_is_the_published_one() -> None:
    # 3GPP TS 23.038 6.2.1: 127 letters beside the escape, and nine on the extension table
    # (form feed left out).
    assert len(BASIC) == 127
    assert len(EXTENDED) == 9
    assert not any(letter in BASIC for letter in "êâîôûçœ’–−°")
    assert all(letter in BASIC for letter in "éèàùäöüÄÖÜßñ")


@pytest.mark.parametrize(
    ("given_text", "sent"),
    [
        ("Maëlle", "Maelle"),
        ("−5 °C", "-5 C"),
        ("Hôtel de l’Œuvre", "Hotel de l'OEuvre"),
        ("août", "aout"),
        ("Łódź", "Lodz"),
        ("北", "?"),
    ],
)
def test_letters_outside_the_alphabet_are_sent_plain(given_text: str, sent: str) -> None:
    assert to_gsm(given_text) == sent


def test_the_promise_to_write_again_is_dropped_where_no_message_is_left() -> None:
    draft = DRAFTS["leave-alone"]
    assert "we write then" in word(draft, Language.EN, Form.SHORT).body
    draft = replace(draft, facts=replace(draft.facts, looks_again=False))
    assert "we write then" not in word(draft, Language.EN, Form.SHORT).body


def test_will_empty_itself_and_could_split_never_share_a_sentence() -> None:
    facts = replace(MAELLE, harm_likely=True, breaks=(Circuit.PUMP,), valve_at=utc(20, 2, month=11))
    draft = replace(DRAFTS["work-order-owner"], facts=facts)
    body = word(draft, Language.EN, Form.LONG).body
    assert "empty itself" in body
    assert "could split" in body
    assert not [s for s in body.split(". ") if "empty itself" in s and "could split" in s]


def test_dosing_brings_its_own_caution_and_heating_is_never_advised_without_one() -> None:
    traps = replace(YARD, job=Job.DOSE_TRAPS)
    assert hazards_for(replace(DRAFTS["work-order"], facts=traps)) == ("dosing",)
    assert "heating" in hazards_for(DRAFTS["leave-alone"])
    assert "draining" in hazards_for(DRAFTS["last-call"])


def test_customers_of_a_dealer_are_addressed_formally_in_german_only() -> None:
    customer = DRAFTS["work-order-customer"]
    owner = replace(customer, voice=Voice.OWNER)
    assert "Wenn Sie nicht" in word(customer, Language.DE, Form.LONG).body
    assert "Wenn du nicht" in word(owner, Language.DE, Form.LONG).body
    assert word(customer, Language.EN, Form.LONG) == word(owner, Language.EN, Form.LONG)


def _hour(moment: datetime, language: Language, form: Form, now: datetime, zone: str) -> str:
    """How an act-by hour is written."""
    facts = replace(MAELLE, by=moment, zone=zone, valve_at=None)
    draft: Draft = replace(DRAFTS["work-order-owner"], facts=facts, at=now)
    text = word(draft, language, form)
    found = re.search(r"(?:by|bis|avant) (.+?)[.]\s", text.body + " ")
    assert found is not None
    return found.group(1)


@pytest.mark.parametrize(
    ("language", "form", "expected"),
    [
        (Language.EN, Form.SHORT, "Wed 15:30"),
        (Language.DE, Form.SHORT, "Mi 15:30"),
        (Language.FR, Form.SHORT, "mer. 15h30"),
        (Language.FR, Form.LONG, "mer.\u00a015\u00a0h\u00a030"),
    ],
)
def test_hours_are_local_and_carry_their_day(language: Language, form: Form, expected: str) -> None:
    now = datetime(2026, 12, 1, 8, tzinfo=UTC)
    found = _hour(utc(2, 14, 30), language, form, now, "Europe/Berlin")
    assert found.startswith(expected.split(".")[0])
    assert (
        expected
        in word(
            replace(
                DRAFTS["work-order-owner"],
                facts=replace(MAELLE, by=utc(2, 14, 30), zone="Europe/Berlin"),
                at=now,
            ),
            language,
            form,
        ).body
    )


def test_a_far_hour_carries_its_date() -> None:
    now = datetime(2026, 12, 1, 8, tzinfo=UTC)
    found = _hour(now + timedelta(days=8), Language.EN, Form.LONG, now, "UTC")
    assert found.replace("\u00a0", " ") == "Wed 9 Dec 08:00"


@pytest.mark.parametrize(
    ("moment", "expected"),
    [
        # Clocks go back on Sunday 25 October 2026 at 01:00 UTC in Europe/Berlin.
        (datetime(2026, 10, 24, 23, 30, tzinfo=UTC), "Sun 01:30 (00:30 by the new clock)"),
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), "Sun 02:30 (01:30 by the new clock)"),
        (datetime(2026, 10, 25, 1, 30, tzinfo=UTC), "Sun 02:30 (03:30 by the old clock)"),
        (datetime(2026, 10, 25, 6, 0, tzinfo=UTC), "Sun 07:00 (08:00 by the old clock)"),
        (datetime(2026, 10, 25, 16, 0, tzinfo=UTC), "Sun 17:00"),
        # and forward on Sunday 28 March 2027.
        (datetime(2027, 3, 28, 0, 30, tzinfo=UTC), "Sun 01:30 (02:30 by the new clock)"),
        (datetime(2027, 3, 28, 5, 0, tzinfo=UTC), "Sun 07:00 (06:00 by the old clock)"),
    ],
)
def test_the_night_of_a_clock_change_shows_both_clocks(moment: datetime, expected: str) -> None:
    now = moment - timedelta(hours=20)
    found = _hour(moment, Language.EN, Form.LONG, now, "Europe/Berlin")
    assert found.replace("\u00a0", " ") == expected


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [(-5.2, "−5"), (-1.4, "−1.5"), (-0.2, "0"), (0.3, "0.5"), (1.0, "1"), (-6.5, "−7")],
)
def test_degrees_are_whole_and_half_only_near_zero(celsius: float, expected: str) -> None:
    facts = replace(MAELLE, min_c=celsius, valve_at=None)
    body = word(replace(DRAFTS["work-order-owner"], facts=facts), Language.EN, Form.LONG).body
    assert f"down to about {expected}\u00a0°C" in body or f"down to about {expected} °C" in body


def test_an_old_forecast_is_said_to_be_old() -> None:
    body = word(DRAFTS["work-order-owner-hard"], Language.EN, Form.LONG).body
    assert "everything is taken 2 K colder" in body


ANSWERED = datetime(2026, 11, 20, 15, 40, tzinfo=UTC)


@pytest.mark.parametrize("language", list(Language))
def test_a_check_request_says_from_when_frost_is_possible_and_one_and_the_same_time(
    language: Language,
) -> None:
    """Why, and how long, from the message alone."""
    draft = DRAFTS["check-request-never"]
    for form in Form:
        text = word(draft, language, form).body.replace("\xa0", " ").replace("\u202f", " ")
        frost = {Language.EN: "from Wed 20:00", Language.DE: "ab Mi 20:00"}
        assert frost.get(language, "dès mer. 20") in text
        assert "5 min" in text.lower()
    unknown = replace(draft, facts=replace(draft.facts, early=None, onset=None))
    assert "Frost" not in word(unknown, Language.EN, Form.SHORT).body, "no hour is made up"


@pytest.mark.parametrize("language", list(Language))
@pytest.mark.parametrize("answer", ["done", "part", "cannot", "going", "trip"])
def test_every_answer_is_answered_in_one_text_message(
    answer: str, language: Language, golden: Callable[[str, str], None]
) -> None:
    text = word_answer(
        answer,
        language,
        zone="Europe/Paris",
        at=ANSWERED,
        going_at=ANSWERED + timedelta(days=1) if answer in ("going", "trip") else None,
        min_c=-1.5,
        link="fw.example/v/m2",
    )
    assert is_gsm(text)
    assert length(text) <= LIMIT
    golden(f"answer-{answer}.{language.value}.short", text)


def test_a_dealers_customer_is_answered_formally_in_german() -> None:
    def said(voice: Voice, language: Language) -> str:
        return word_answer("done", language, zone="Europe/Berlin", at=ANSWERED, voice=voice)

    assert "Ihrer Angabe" in said(Voice.CUSTOMER, Language.DE)
    assert "deiner Angabe" in said(Voice.OWNER, Language.DE)
    assert said(Voice.CUSTOMER, Language.FR) == said(Voice.OWNER, Language.FR)


@pytest.mark.parametrize(
    ("language", "said"),
    [
        (Language.EN, "1 of 24 bays needs a visit"),
        (Language.DE, "1 von 24 Plätzen anlaufen"),
        (Language.FR, "1 place sur 24 à visiter"),
    ],
)
def test_a_single_bay_is_spoken_of_in_the_singular(language: Language, said: str) -> None:
    draft = DRAFTS["work-order"]
    draft = replace(draft, facts=replace(draft.facts, count=1))
    assert said in word(draft, language, Form.LONG).subject


@pytest.mark.parametrize(
    ("language", "said"),
    [
        (Language.EN, "The 1 unknown is five minutes"),
        (Language.DE, "Das 1 unklare braucht fünf Minuten"),
        (Language.FR, "Le 1 inconnu demande cinq minutes"),
    ],
)
def test_what_counts_by_another_number_than_the_visits_takes_its_form_from_that(
    language: Language, said: str
) -> None:
    draft = DRAFTS["roll"]
    assert draft.facts.rolled is not None
    rolled = replace(draft.facts.rolled, unknown=1)
    draft = replace(draft, facts=replace(draft.facts, rolled=rolled))
    assert said in word(draft, language, Form.LONG).body


def test_french_counts_none_in_the_singular() -> None:
    draft = DRAFTS["outlook"]
    draft = replace(draft, facts=replace(draft.facts, count=0))
    assert "0 véhicule sur" in word(draft, Language.FR, Form.LONG).subject
    assert "vans are" in word(draft, Language.EN, Form.LONG).subject
