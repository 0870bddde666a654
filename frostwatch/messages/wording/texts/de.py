"""German texts: crews and offices without address, owners with "du", customers with "Sie"."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Catalogue, Long, Words

SHORT = {
    "outlook": (
        "{place}: Frost wahrscheinlich ab {onset}, etwa {min} C. {wet_vans}, {crew} Std Arbeit. "
        "Einplanen bis {by}. {link}",
        "{place}: Frost möglich ab {early}, vielleicht {mincold} C. {wet_vans}, {crew} Std Arbeit. "
        "Einplanen bis {by}. {link}",
        "{place}: Frost möglich, etwa {min} C. {wet_vans}, {crew} Std Arbeit. "
        "Einplanen bis {by}. {link}",
        "{place}: Frost in Sicht, vielleicht {mincold} C. {wet_vans}, {crew} Std Arbeit. {link}",
        "{place}: Frost in Sicht, {wet_vans}. {link}",
    ),
    "outlook.owner": (
        "{van}: Frost wahrscheinlich ab {onset}, etwa {min} C, bevor du wieder dort bist. "
        "Kannst du früher hin, oder jemand mit Schlüssel? {link}",
        "{van}: Frost möglich, vielleicht {mincold} C, bevor du wieder dort bist. "
        "Kannst du früher hin, oder jemand mit Schlüssel? {link}",
        "{van}: Frost möglich vor dem nächsten Besuch. {link}",
    ),
    "outlook.customer": (
        "{van}: Frost wahrscheinlich ab {onset}, etwa {min} C, bevor Sie wieder dort sind. "
        "Können Sie früher hin, oder jemand mit Schlüssel? {link}",
        "{van}: Frost möglich, vielleicht {mincold} C, bevor Sie wieder dort sind. "
        "Können Sie früher hin, oder jemand mit Schlüssel? {link}",
        "{van}: Frost möglich vor dem nächsten Besuch. {link}",
    ),
    "work order": (
        "{place}: {bays} bis {by}, {crew} Std. Zuerst {first}, dann der Reihe nach. "
        "0 C gegen {onset}, bis {min}. {link}",
        "{place}: {bays} bis {by}, {crew} Std. Zuerst {first}, dann der Reihe nach. "
        "Vielleicht 0 C ab {early}, bis {mincold}. {link}",
        "{place}: {bays} bis {by}, {crew} Std. Zuerst {first}, dann der Reihe nach. "
        "Vielleicht bis {mincold} C. {link}",
        "{place}: {bays} bis {by}, {crew} Std. {link}",
    ),
    "work order.owner": (
        "{van}: Wasser ablassen bis {by}. {took}, dunkel ab {dark}. Frost gegen {onset}. "
        "[Boiler leert sich evtl. selbst, das ist normal.{?valve}] {link}",
        "{van}: Wasser ablassen bis {by}. {took}, dunkel ab {dark}. Frost vielleicht ab {early}. "
        "[Boiler leert sich evtl. selbst, das ist normal.{?valve}] {link}",
        "{van}: Wasser ablassen bis {by}. {took}, dunkel ab {dark}. Vielleicht bis {mincold} C. "
        "{link}",
        "{van}: Wasser ablassen bis {by}. {link}",
    ),
    "last call": (
        "Letzte Gelegenheit {van}: {job} vor {ice}. Noch drin: {wet}. "
        "Sonst so lassen, nicht unbeaufsichtigt heizen. {link}",
        "Letzte Gelegenheit {van}: {job} vor {ice}. "
        "Sonst so lassen, nicht unbeaufsichtigt heizen. {link}",
        "Letzte Gelegenheit {van}: leeren vor {ice}. {link}",
    ),
    "last call#many": (
        "Letzte Gelegenheit {van}: leeren vor {ice}. "
        "Sonst so lassen, nicht unbeaufsichtigt heizen. {link}",
        "Letzte Gelegenheit {van}: leeren vor {ice}. {link}",
    ),
    "leave alone": (
        "{van} ist seit {onset} wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Nachsehen {thaw}. {link}",
        "{van} ist wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Nachsehen {thaw}. {link}",
        "{van} ist seit {onset} wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Tauwetter noch nicht in Sicht. {link}",
        "{van} ist wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Tauwetter noch nicht in Sicht. {link}",
        "{van}: wohl gefroren. Pumpe aus, kein Ventil bewegen, kein Warmwasser. {link}",
    ),
    "leave alone#many": (
        "{van} sind wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Nachsehen {thaw}. {link}",
        "{van} sind wohl gefroren. Nichts anfassen: Pumpe aus, kein Ventil bewegen, "
        "kein Warmwasser. Tauwetter noch nicht in Sicht. {link}",
        "{van}: wohl gefroren. Pumpe aus, kein Ventil bewegen, kein Warmwasser. {link}",
    ),
    "thaw check": (
        "Nach dem Frost {van}, {thaw}: Hähne auf, ablaufen lassen, Filter, Hähne, Boiler ansehen. "
        "Dann 20 l und schauen. Pumpe zuletzt. {link}",
        "Nach dem Frost {van}, {thaw}: ansehen, bevor die Pumpe läuft. {link}",
    ),
    "check request": (
        "{van}: seit {last} hat niemand nachgesehen. Bitte bis {by} Hähne, Ventile, Tank prüfen, "
        "{took}, und melden, was ist. {link}",
        "{van}: kein Eintrag. Bitte bis {by} Hähne, Ventile, Tank prüfen, {took}, "
        "und melden, was ist. {link}",
        "{van}: bitte Hähne, Ventile, Tank prüfen, {took}, und melden, was ist. {link}",
        "{van}: bitte nachsehen und melden, was ist. {link}",
    ),
    "roll": (
        "{place}, Liste {date}: {all_vans}, {seen} leer gesehen,[ {told} laut Angabe,{?told}] "
        "{dosed} mit Mittel, {use} in Betrieb, {held} beheizt, {unk} unklar. "
        "Heute keine Runde. {link}",
        "{place}, Liste {date}: {all_vans}, {unk} unklar. Heute keine Runde. {link}",
    ),
    "no forecast": (
        "{place}: keine brauchbare Vorhersage seit {issue}. Heute Nacht wie Frost behandeln, "
        "selbst nachsehen. {wet_or_unknown}. {link}",
        "{place}: keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln, "
        "selbst nachsehen. {wet_or_unknown}. {link}",
        "{place}: keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln. {link}",
    ),
    "no forecast.owner": (
        "{van}: keine brauchbare Vorhersage seit {issue}. Heute Nacht wie Frost behandeln "
        "und selbst nachsehen. {link}",
        "{van}: keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln "
        "und selbst nachsehen. {link}",
        "{van}: keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln. {link}",
    ),
    "forecast back": (
        "{place}: wieder eine Vorhersage da, von {issue}. Uhrzeiten gelten wieder. {link}",
        "{place}: wieder eine Vorhersage da. {link}",
    ),
    "season": (
        "{place}: bald Frost. {wet_or_unknown}. Bitte vor dem ersten nachsehen und eintragen. "
        "{link}",
        "{place}: bald Frost. {link}",
    ),
    "season.owner": (
        "{van}: bald Frost, und es zählt als nicht leer. Schon abgelassen? Ein Tipp genügt, "
        "dann ist Ruhe. {link}",
        "{van}: bald Frost. {link}",
    ),
}

LONG = {
    "outlook": Long(
        headline=(
            "Frost wahrscheinlich ab {onset}. {n} von {all} Fahrzeugen sind noch nicht leer.",
            "Frost möglich ab {early}. {n} von {all} Fahrzeugen sind noch nicht leer.",
            "Frost möglich. {n} von {all} Fahrzeugen sind noch nicht leer.",
        ),
        sentences=(
            ("Aufwand {crew} Arbeitsstunden, fertig bis {by}.",),
            ("Etwa {min} °C, vielleicht {mincold}.",),
            (
                "Der Arbeitszettel kommt am Morgen des Tages, an dem er gebraucht wird. Wird es "
                "milder, steht das nur in der Liste.",
            ),
            ("Heute hilft: Leute einteilen, Behälter, Frostschutz und Streugut prüfen.",),
        ),
    ),
    "outlook.owner": Long(
        headline=(
            "{van}: Frost wahrscheinlich ab {onset}, bevor du wieder dort bist.",
            "{van}: Frost möglich, bevor du wieder dort bist.",
        ),
        sentences=(
            ("Etwa {min} °C, vielleicht {mincold}.",),
            ("Noch drin: {wet}.",),
            ("Leer sein sollte es bis {by}.", ""),
            (
                "Wenn du früher hin kannst, oder jemand mit Schlüssel, sag uns wann: {link}.",
                "Wenn du früher hin kannst, oder jemand mit Schlüssel, sag uns wann.",
            ),
            ("Vielleicht wird es noch milder; wir melden uns einmal, wenn es darauf ankommt.",),
        ),
    ),
    "outlook.customer": Long(
        headline=(
            "{van}: Frost wahrscheinlich ab {onset}, bevor Sie wieder dort sind.",
            "{van}: Frost möglich, bevor Sie wieder dort sind.",
        ),
        sentences=(
            ("Etwa {min} °C, vielleicht {mincold}.",),
            ("Noch drin: {wet}.",),
            ("Leer sein sollte es bis {by}.", ""),
            (
                "Wenn Sie früher hin können, oder jemand mit Schlüssel, sagen Sie uns wann: "
                "{link}.",
                "Wenn Sie früher hin können, oder jemand mit Schlüssel, sagen Sie uns wann.",
            ),
            ("Vielleicht wird es noch milder; wir melden uns einmal, wenn es darauf ankommt.",),
        ),
    ),
    "work order": Long(
        headline=("{n} von {all} Plätzen anlaufen, fertig bis {by}.",),
        sentences=(
            (
                "{crew} Arbeitsstunden; mit der eingetragenen Mannschaft bis etwa {end}.",
                "{crew} Arbeitsstunden; mit der eingetragenen Mannschaft gehen {fit} von {n}. Eine "
                "zweite Kraft holen, oder mit den teuersten beginnen: dort ist die Liste "
                "geschnitten.",
            ),
            ("Zuerst {first}: dort kann am meisten platzen.",),
            ("Danach der Reihe nach: Schieber, Ventile, Hähne.",),
            (
                "0 °C gegen {onset}, frühestens {early}, Tiefstwert etwa {min} °C.",
                "0 °C vielleicht ab {early}, Tiefstwert vielleicht {mincold} °C.",
                "Tiefstwert etwa {min} °C, vielleicht {mincold}.",
            ),
            ("Mitnehmen: {take}.",),
            ("Die Runde liegt auf den Telefonen bereit, drucken über den Link: {link}.", ""),
        ),
    ),
    "work order.owner": Long(
        headline=("Wasser ablassen bis {by}.",),
        sentences=(
            ("{van}.",),
            ("Dauert {took}, dunkel wird es gegen {dark}.",),
            ("Noch drin: {wet}.",),
            ("Der Boiler läuft gegen {self} wohl von selbst leer, davon geht nichts kaputt.",),
            (
                "Frost etwa {onset} bis {until}, Tiefstwert etwa {min} °C.",
                "Frost ab etwa {onset}, Tiefstwert etwa {min} °C.",
                "Frost möglich ab {early}, Tiefstwert vielleicht {mincold} °C.",
                "Tiefstwert vielleicht {mincold} °C.",
            ),
            ("Wenn du nicht kannst: {else}.",),
            ("Schritt für Schritt: {link}.",),
            ("Ein Tipp auf „Erledigt“ genügt, dann ist für diesmal Ruhe.",),
        ),
    ),
    "work order.customer": Long(
        headline=("Wasser ablassen bis {by}.",),
        sentences=(
            ("{van}.",),
            ("Dauert {took}, dunkel wird es gegen {dark}.",),
            ("Noch drin: {wet}.",),
            ("Der Boiler läuft gegen {self} wohl von selbst leer, davon geht nichts kaputt.",),
            (
                "Frost etwa {onset} bis {until}, Tiefstwert etwa {min} °C.",
                "Frost ab etwa {onset}, Tiefstwert etwa {min} °C.",
                "Frost möglich ab {early}, Tiefstwert vielleicht {mincold} °C.",
                "Tiefstwert vielleicht {mincold} °C.",
            ),
            ("Wenn Sie nicht können: {else}.",),
            ("Schritt für Schritt: {link}.",),
            ("Ein Tipp auf „Erledigt“ genügt, dann ist für diesmal Ruhe.",),
        ),
    ),
    "last call": Long(
        headline=("Letzte Gelegenheit für {van}: {job} vor {ice}.",),
        sentences=(
            (
                "Die geplante Zeit, {by}, ist vorbei; Eis ist ab {ice} möglich, wahrscheinlich "
                "{icelikely}.",
                "Die geplante Zeit, {by}, ist vorbei; Eis ist ab {ice} möglich.",
                "Eis ist ab {ice} möglich, wahrscheinlich {icelikely}.",
                "Eis ist ab {ice} möglich.",
            ),
            ("Noch drin: {wet}.",),
            (
                "Wenn es knapp wird: Abwasserschieber, Pumpe aus, Boilerventil, Hähne hoch, in "
                "dieser Reihenfolge.",
            ),
            (
                "Kann niemand hin: so lassen. Wir melden uns, wenn sich das Nachsehen lohnt."
                "{?again}",
                "Kann niemand hin: so lassen, und nachsehen, wenn es getaut hat.",
            ),
        ),
    ),
    "leave alone": Long(
        headline=(
            "{van} bis etwa {thaw} in Ruhe lassen.",
            "{van} bis zum Tauwetter in Ruhe lassen.",
        ),
        sentences=(
            (
                "Nach unserer Schätzung 0 °C in den Leitungen seit {onset}.",
                "Nach unserer Schätzung ist Wasser gefroren.",
            ),
            ("Pumpe nicht einschalten, kein Ventil bewegen, Warmwasser aus lassen.",),
            ("Ob etwas geplatzt ist, zeigt sich erst beim Auftauen.",),
            ("Keine Flamme, kein kochendes Wasser.",),
        ),
    ),
    "thaw check": Long(
        headline=("Kontrolle nach dem Frost: {van}, {thaw}.",),
        sentences=(
            ("Hähne auf und ablaufen lassen, was kommt.",),
            ("Ansehen: Filterglas, Hahnsockel, Boileranschlüsse, Außendusche.",),
            ("Erst fotografieren, dann anfassen.",),
            (
                "Danach 20 l, Pumpe an, zehn Minuten beobachten; läuft sie von selbst an, ist "
                "etwas undicht.",
            ),
            ("Gas und Heizgerät: Fachbetrieb.",),
        ),
    ),
    "check request": Long(
        headline=("Bitte bis {by} nach {van} sehen.", "Bitte nach {van} sehen."),
        sentences=(
            (
                "Wir haben keinen verlässlichen Eintrag, zuletzt gesehen {last}.",
                "Wir haben gar keinen Eintrag.",
            ),
            ("Bis jemand nachsieht, zählt es als voll.",),
            ("Fünf Minuten: Hähne oben? Ventile offen? Läuft noch etwas?",),
            (
                "Antwort über den Link; mit Foto gilt es als gesehen: {link}.",
                "Mit Foto gilt es als gesehen.",
            ),
        ),
    ),
    "roll": Long(
        headline=("Liste vom {date}: heute keine Runde nötig.",),
        sentences=(
            (
                "{all} Fahrzeuge: {seen} leer gesehen,[ {told} leer laut Angabe,{?told}] {dosed} "
                "mit Frostschutz dosiert, {use} in Betrieb, {held} beheizt, {wetnow} nicht leer, "
                "{unk} unklar.",
            ),
            ("Tiefster Wert in Sicht: etwa {min} °C am {when}.",),
            (
                "Die {unk} unklaren brauchen je fünf Minuten, wenn es trocken ist.{?unknown}",
                "",
            ),
        ),
    ),
    "no forecast": Long(
        headline=(
            "Seit {issue} keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln und selbst "
            "nachsehen.",
            "Keine brauchbare Vorhersage. Heute Nacht wie Frost behandeln und selbst nachsehen.",
        ),
        sentences=(
            (
                "Der Link zeigt alle Fahrzeuge, die nicht leer oder unklar sind, in "
                "Laufreihenfolge, ohne Uhrzeiten: {link}.",
                "Alle Fahrzeuge, die nicht leer oder unklar sind, stehen auf der Liste, in "
                "Laufreihenfolge, ohne Uhrzeiten.",
            ),
            (
                "Wir versuchen es alle zehn Minuten und melden uns einmal, wenn wieder eine "
                "vorliegt.",
            ),
        ),
    ),
    "forecast back": Long(
        headline=(
            "Es liegt wieder eine Vorhersage vor, von {issue}.",
            "Es liegt wieder eine Vorhersage vor.",
        ),
        sentences=(("Uhrzeiten und Listen rechnen damit; was vorher gesagt wurde, gilt weiter.",),),
    ),
    "season": Long(
        headline=("Bald Frost: {n} von {all} Fahrzeugen gelten als nicht leer oder unklar.",),
        sentences=(
            ("Vor dem ersten Frost leeren und eintragen, in den milden Stunden eines Tages.",),
            ("Was leer gesehen ist, bekommt keine Nachricht, nur eine Zeile in der Liste.",),
            ("Die Liste: {link}.", ""),
        ),
    ),
    "season.owner": Long(
        headline=("{van}: bald Frost, und es zählt als nicht leer.",),
        sentences=(
            (
                "Ist schon abgelassen, genügt ein Tipp, dann ist Ruhe: {link}.",
                "Ist schon abgelassen, genügt eine Antwort, dann ist Ruhe.",
            ),
            ("Sonst kommt eine Nachricht, rechtzeitig vor dem ersten Frost, der zählt.",),
        ),
    ),
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
