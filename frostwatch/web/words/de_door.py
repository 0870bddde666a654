"""Anmelden und abgewiesen werden, auf Deutsch."""

from collections.abc import Mapping

DOOR: Mapping[str, str] = {
    "door.title": "Anmelden",
    "door.say": "Welches Fahrzeug noch Wasser hält, und bis wann es heraus sein muss.",
    "door.email": "E-Mail",
    "door.password": "Passwort",
    "door.lasting": "Auf diesem Gerät die ganze Saison angemeldet bleiben",
    "door.sign_in": "Anmelden",
    "door.sign_out": "Abmelden",
    "door.phone": "<b>Am Platztelefon?</b> Die Kamera auf das Quadrat auf dem Rundenzettel richten "
    'oder <a href="/walk">die sechs Ziffern der Runde eingeben</a>. Das öffnet diese Runde und '
    "sonst nichts.",
    "door.code": '<b>Ein Einmalcode?</b> <a href="/sign-in/code">Damit das Passwort wählen</a>. '
    "Ein vergessenes Passwort braucht einen neuen Code: fragen, wer diesen Dienst betreut.",
    "door.foot": "Halter brauchen kein Konto: der Link in der Nachricht genügt. Verloren? "
    "Den Platz "
    "bitten, ihn noch einmal zu schicken. frostwatch ist keine amtliche Warnung; dafür den "
    "amtlichen Wetterdienst verfolgen.",
    "door.wrong": "Diese E-Mail und dieses Passwort gehören nicht zusammen. "
    '<a href="#email">Eines von beiden berichtigen</a>.',
    "door.shut": "Zu viele Versuche. {minutes} Minuten warten, dann noch einmal; ein neuer "
    "Einmalcode öffnet sofort.",
    "door.expired": "Du wurdest abgemeldet. Melde dich an, dann öffnet sich die Seite wieder.",
    "code.title": "Passwort wählen",
    "code.say": "Der Code stand beim ersten Start dieses Dienstes im Protokoll, oder er kam von "
    "dem, der dein Konto angelegt hat. Er gilt einmal.",
    "code.code": "Einmalcode",
    "code.email": "E-Mail, mit der du dich anmelden wirst",
    "code.password": "Neues Passwort",
    "code.password_hint": "Zwölf Zeichen oder mehr. Ein paar Wörter hintereinander merken sich "
    "leicht.",
    "code.keep": "Dieses Passwort behalten",
    "code.void": "Dieser Code ist vertippt, abgelaufen oder schon benutzt.",
    "code.other": "Der Code ist für eine andere E-Mail-Adresse gemacht, oder er ist vertippt.",
    "code.no_email": "Das ist keine E-Mail-Adresse. Schreib sie wie ada@platz.example.",
    "code.short": "Weniger als zwölf Zeichen. Häng ein, zwei Wörter an.",
    "code.long": "Mehr als 200 Zeichen. Nimm ein kürzeres.",
    "code.plain": "Immer dieselben Zeichen oder eine Reihe davon. Nimm Wörter, die nichts "
    "miteinander zu tun haben.",
    "code.named": "Kaum mehr als dein Name oder deine Adresse. Nimm Wörter, auf die niemand käme.",
    "faults.one": "<b>Eines ist zu berichtigen:</b>",
    "faults.more": "<b>{n} Angaben sind zu berichtigen:</b>",
    "refused.title": "Hier ist nichts",
    "refused.nothing": "Diese Seite gibt es nicht, oder sie ist nicht für dich.",
    "refused.role": "Deine Rolle hier erlaubt das nicht. Wer den Platz betreibt, kann sie ändern.",
    "refused.form_title": "Nicht behalten",
    "refused.form": "Diese Seite war zu lange offen oder wurde inzwischen abgemeldet. Geh zurück, "
    "lade sie neu und schick sie noch einmal; die meisten Browser behalten das Eingegebene.",
    "refused.try_title": "Zu viele Versuche",
    "refused.try": "{minutes} Minuten warten, dann noch einmal versuchen.",
    "refused.fault_title": "Nicht ausgeführt",
    "refused.fault": "Hier ist etwas fehlgeschlagen; es steht im Protokoll. Von diesem Schritt "
    "wurde nichts behalten.",
    "refused.home": "Zur Runde",
    "refused.sign_in": "Anmelden",
}
