"""German short forms: one text message each, in the GSM 7-bit alphabet."""

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
