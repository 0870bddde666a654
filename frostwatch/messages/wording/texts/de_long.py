"""German long forms: headline, then sentences."""

from frostwatch.messages.wording.texts import Long

LONG = {
    "outlook": Long(
        headline=(
            "Frost wahrscheinlich ab {onset}. {n} von {all} Fahrzeugen ist noch nicht leer.{?one}",
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
        headline=(
            "{n} von {all} Plätzen anlaufen, fertig bis {by}.{?one}",
            "{n} von {all} Plätzen anlaufen, fertig bis {by}.",
        ),
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
        headline=(
            "Bald Frost: {n} von {all} Fahrzeugen gilt als nicht leer oder unklar.{?one}",
            "Bald Frost: {n} von {all} Fahrzeugen gelten als nicht leer oder unklar.",
        ),
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
