"""German texts: crews and offices without address, owners with "du", customers with "Sie"."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Catalogue, Words
from frostwatch.messages.wording.texts.de_long import LONG
from frostwatch.messages.wording.texts.de_short import SHORT

ANSWERS = {
    "done": "Notiert: leer, nach deiner Angabe, {time}. Für diesmal ist Ruhe. "
    "Mit Foto gilt es als gesehen: {link}",
    "done.customer": "Notiert: leer, nach Ihrer Angabe, {time}. Für diesmal ist Ruhe. "
    "Mit Foto gilt es als gesehen: {link}",
    "part": "Notiert. Was ist noch drin? Zweimal tippen: {link}",
    "cannot": "Notiert. Wird es kälter als {min} C, melden wir uns noch einmal. "
    "Hat sonst jemand den Schlüssel? {link}",
    "going": "Notiert: du gehst {time}. Bis dahin ist Ruhe. {link}",
    "going.customer": "Notiert: Sie gehen {time}. Bis dahin ist Ruhe. {link}",
}

HAZARDS = {
    "draining": (
        "Zuerst Warmwasser aus: 60 bis 70 °C heißes Wasser kann ohne Vorzeichen unten austreten, "
        "Abstand halten. Abwasser in den Schmutzwasserkanal oder einen Behälter, nie auf den "
        "Boden. Streuen, wo Wasser lief: nachts ist das Eis. Nie unter einen Wagenheber; Keile "
        "vor die Räder."
    ),
    "heating": (
        "Heizen nur im Freien, Kamin, Zuluft und Bodenöffnungen frei von Schnee, und jemand dabei; "
        "Kohlenmonoxid-Melder prüfen. Nie mit Kocher, Grill oder Motor wärmen. Kopfweh oder "
        "Übelkeit: hinaus."
    ),
    "dosing": (
        "Nur Propylenglykol, das für Trinkwasseranlagen verkauft wird, nie Kühlmittel. Handschuhe; "
        "fern von Kindern und Tieren, nicht in den Regenablauf."
    ),
    "electric": (
        "Kabel ganz abrollen, Verbindungen nicht am Boden, FI-Schalter geprüft; keine Netzgeräte "
        "in nassen Staufächern."
    ),
}

WORDS = Words(
    days=("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"),
    months=("1.", "2.", "3.", "4.", "5.", "6.", "7.", "8.", "9.", "10.", "11.", "12."),
    jobs={
        Job.DRAIN_FULLY: "ganz leeren",
        Job.DRAIN_REST: "Rest ablassen",
        Job.OPEN_WASTE: "Abwasserschieber öffnen",
        Job.OPEN_TAPS: "Hähne und Tiefpunkte öffnen",
        Job.FLUSH_TANK: "Spültank leeren",
        Job.DOSE_TRAPS: "Siphons dosieren",
        Job.LOOK: "nachsehen",
    },
    parts={
        Circuit.FRESH_TANK: "Frischwassertank",
        Circuit.PUMP: "Pumpe und Filter",
        Circuit.COLD_PIPES: "Kaltleitungen",
        Circuit.OUTSIDE_POINT: "Außendusche",
        Circuit.FILTER: "Filtergehäuse",
        Circuit.HEATER_TANK: "Boiler",
        Circuit.HOT_PIPES: "Warmleitungen und Hähne",
        Circuit.SHOWER: "Duschkopf",
        Circuit.TRAPS: "Siphons",
        Circuit.WASTE_PIPES: "Abwasserleitungen",
        Circuit.WASTE_TANK: "Abwassertank",
        Circuit.OUTLET_STUB: "Abwasserschieber",
        Circuit.FLUSH_TANK: "Spülpumpe",
        Circuit.FLUSH_VALVE: "Spülventil",
        Circuit.CASSETTE: "Kassette",
        Circuit.HYDRONIC: "Heizkreis",
        Circuit.CONTAINERS: "Kanister",
        Circuit.MACERATOR: "Zerhacker",
        Circuit.CARRIERS: "Wasserkanister",
    },
    groups={
        "fresh": "Frischwasser",
        "heater": "Boiler",
        "pipes": "Leitungen und Hähne",
        "flush": "Spültank",
        "traps": "Siphons",
        "waste": "Abwasser",
        "carried": "Kanister",
    },
    group_shorts={
        "fresh": "frisch",
        "heater": "Boiler",
        "pipes": "Leitungen",
        "flush": "Spültank",
        "traps": "Siphons",
        "waste": "Abwasser",
        "carried": "Kanister",
    },
    takes={
        Take.KEYS: "Schlüsselbrett",
        Take.CONTAINERS: "{n} Abwasserbehälter",
        Take.DOSE: "{n} l Frostschutz 50 %",
        Take.MESH: "Netz für {n} Auslässe",
        Take.GRIT: "Streugut",
        Take.TAGS: "{n} Anhänger",
    },
    litre="l",
    minute="Min",
    comma=",",
    unknown_wet="unklar",
    since="{date}",
    new_clock="{time} nach der neuen Uhr",
    old_clock="{time} nach der alten Uhr",
    counted={
        "bays": ("{n} Platz", "{n} Plätze"),
        "vans": ("{n} Fahrzeug", "{n} Fahrzeuge"),
        "wet_vans": ("{n} Fahrzeug nicht leer", "{n} Fahrzeuge nicht leer"),
        "wet_or_unknown": ("{n} nicht leer oder unklar", "{n} nicht leer oder unklar"),
    },
    else_little="bei {min} °C geht wahrscheinlich wenig kaputt",
    else_split="Eis könnte sprengen: {parts}",
)

CATALOGUE = Catalogue(
    short=SHORT,
    long=LONG,
    answers=ANSWERS,
    hazards=HAZARDS,
    older="Die Vorhersage von {issue} ist alt: gerechnet wird {colder} K kälter.",
    credit="Wetter: {credit}. Auf den Ort umgerechnet.",
    foot=(
        (
            "Schätzung aus der Vorhersage von {issue} und den Einträgen; erst nachsehen, dann "
            "handeln; die Betriebsanleitung geht vor.",
            "Schätzung aus den Einträgen; erst nachsehen, dann handeln; die Betriebsanleitung geht "
            "vor.",
        ),
        ("Keine amtliche Warnung.",),
        ("{sent}, frostwatch bei {place}.",),
        ("Abmelden: {stop}", ""),
    ),
    link="Link: {link}",
    words=WORDS,
)
