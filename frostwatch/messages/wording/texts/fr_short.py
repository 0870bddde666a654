"""French short forms: one text message each, in the GSM 7-bit alphabet."""

SHORT = {
    "outlook": (
        "{place}: gel probable {onset}, vers {min} C. {wet_vans}, {crew} h de travail. "
        "A prévoir pour {by}. {link}",
        "{place}: gel possible dès {early}, au pire {mincold} C. {wet_vans}, {crew} h de travail. "
        "A prévoir pour {by}. {link}",
        "{place}: gel possible, vers {min} C. {wet_vans}, {crew} h de travail. "
        "A prévoir pour {by}. {link}",
        "{place}: gel en vue, au pire {mincold} C. {wet_vans}, {crew} h de travail. {link}",
        "{place}: gel en vue, {wet_vans}. {link}",
    ),
    "outlook.owner": (
        "{van}: gel probable {onset}, vers {min} C, avant votre prochain passage. "
        "Pouvez-vous venir avant, ou quelqu'un avec la clé? {link}",
        "{van}: gel possible, au pire {mincold} C, avant votre prochain passage. "
        "Pouvez-vous venir avant, ou quelqu'un avec la clé? {link}",
        "{van}: gel possible avant votre prochain passage. {link}",
    ),
    "work order": (
        "{place}: {bays} avant {by}, {crew} h. D'abord {first}, puis rang par rang. "
        "0 C vers {onset}, mini {min}. {link}",
        "{place}: {bays} avant {by}, {crew} h. D'abord {first}, puis rang par rang. "
        "0 C possible dès {early}, mini {mincold}. {link}",
        "{place}: {bays} avant {by}, {crew} h. D'abord {first}, puis rang par rang. "
        "Mini possible {mincold} C. {link}",
        "{place}: {bays} avant {by}, {crew} h. {link}",
    ),
    "work order.owner": (
        "{van}: vidangez avant {by}. {took}, nuit à {dark}. Gel vers {onset}. "
        "[Le chauffe-eau peut se vider seul, c'est normal.{?valve}] {link}",
        "{van}: vidangez avant {by}. {took}, nuit à {dark}. Gel possible dès {early}. "
        "[Le chauffe-eau peut se vider seul, c'est normal.{?valve}] {link}",
        "{van}: vidangez avant {by}. {took}, nuit à {dark}. Au pire {mincold} C. {link}",
        "{van}: vidangez avant {by}. {link}",
    ),
    "last call": (
        "Dernier rappel {van}: {job} avant {ice}. Il reste: {wet}. "
        "Sinon ne touchez à rien, pas de chauffage sans personne. {link}",
        "Dernier rappel {van}: {job} avant {ice}. "
        "Sinon ne touchez à rien, pas de chauffage sans personne. {link}",
        "Dernier rappel {van}: vidange avant {ice}. {link}",
    ),
    "last call#many": (
        "Dernier rappel {van}: vidange avant {ice}. "
        "Sinon ne touchez à rien, pas de chauffage sans personne. {link}",
        "Dernier rappel {van}: vidange avant {ice}. {link}",
    ),
    "leave alone": (
        "{van} a sans doute gelé depuis {onset}. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. A voir {thaw}. {link}",
        "{van} a sans doute gelé. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. A voir {thaw}. {link}",
        "{van} a sans doute gelé depuis {onset}. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. Pas encore de dégel en vue. {link}",
        "{van} a sans doute gelé. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. Pas encore de dégel en vue. {link}",
        "{van}: sans doute gelé. Pompe coupée, aucune vanne, pas d'eau chaude. {link}",
    ),
    "leave alone#many": (
        "{van} ont sans doute gelé. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. A voir {thaw}. {link}",
        "{van} ont sans doute gelé. Ne rien toucher: pompe coupée, aucune vanne, "
        "pas d'eau chaude. Pas encore de dégel en vue. {link}",
        "{van}: sans doute gelé. Pompe coupée, aucune vanne, pas d'eau chaude. {link}",
    ),
    "thaw check": (
        "Dégel, {van}, {thaw}: ouvrir les robinets, laisser couler, voir filtre, robinets, "
        "chauffe-eau. Puis 20 L. Pompe en dernier. {link}",
        "Dégel, {van}, {thaw}: regarder avant de mettre la pompe. {link}",
    ),
    "check request": (
        "{van}: personne n'a regardé depuis {last}. Merci de voir robinets, vannes, réservoir "
        "avant {by}, {took}, et de nous dire. {link}",
        "{van}: aucun relevé. Merci de voir robinets, vannes, réservoir avant {by}, {took}, "
        "et de nous dire. {link}",
        "{van}: merci de voir robinets, vannes, réservoir, {took}, et de nous dire. {link}",
        "{van}: merci d'aller voir et de nous dire. {link}",
    ),
    "roll": (
        "{place}, liste {date}: {all_vans}, {seen} vidés et vus,[ {told} déclarés,{?told}] "
        "{dosed} dosés, {use} en service, {held} chauffés, {unk} inconnus. Pas de tournée. {link}",
        "{place}, liste {date}: {all_vans}, {unk} inconnus. Pas de tournée. {link}",
    ),
    "no forecast": (
        "{place}: aucune prévision valable depuis {issue}. Faire comme s'il gelait cette nuit, "
        "aller voir. {wet_or_unknown}. {link}",
        "{place}: aucune prévision valable. Faire comme s'il gelait cette nuit, "
        "aller voir. {wet_or_unknown}. {link}",
        "{place}: aucune prévision valable. Faire comme s'il gelait cette nuit. {link}",
    ),
    "no forecast.owner": (
        "{van}: aucune prévision valable depuis {issue}. Faites comme s'il gelait cette nuit, "
        "allez voir. {link}",
        "{van}: aucune prévision valable. Faites comme s'il gelait cette nuit, allez voir. {link}",
        "{van}: aucune prévision valable. Faites comme s'il gelait cette nuit. {link}",
    ),
    "forecast back": (
        "{place}: une prévision est de nouveau lue, de {issue}. Les heures sont de retour. {link}",
        "{place}: une prévision est de nouveau lue. {link}",
    ),
    "season": (
        "{place}: les gelées approchent. {wet_or_unknown}. A voir et à noter avant la première. "
        "{link}",
        "{place}: les gelées approchent. {link}",
    ),
    "season.owner": (
        "{van}: les gelées approchent, et il compte comme en eau. Déjà vidé? Un geste suffit, "
        "et nous nous taisons. {link}",
        "{van}: les gelées approchent. {link}",
    ),
}
