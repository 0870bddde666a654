"""French texts: "vous" to owners, infinitive on work sheets. No ê â î ô û ç œ in short forms."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Catalogue, Long, Words

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

LONG = {
    "outlook": Long(
        headline=(
            "Gel probable à partir de {onset}. {n} véhicules sur {all} sont encore en eau.",
            "Gel possible dès {early}. {n} véhicules sur {all} sont encore en eau.",
            "Gel possible. {n} véhicules sur {all} sont encore en eau.",
        ),
        sentences=(
            ("Compter {crew} heures de travail, à finir avant {by}.",),
            ("Environ {min} °C, peut-être {mincold}.",),
            (
                "La feuille de travail arrive le matin du jour utile ; s'il fait plus doux, vous "
                "n'aurez qu'une ligne dans la liste.",
            ),
            ("À faire aujourd'hui : prévoir l'équipe, vérifier bacs, antigel et sable.",),
        ),
    ),
    "outlook.owner": Long(
        headline=(
            "{van} : gel probable à partir de {onset}, avant votre prochain passage.",
            "{van} : gel possible avant votre prochain passage.",
        ),
        sentences=(
            ("Environ {min} °C, peut-être {mincold}.",),
            ("Il reste : {wet}.",),
            ("Il devrait être vide avant {by}.", ""),
            (
                "Si vous pouvez venir plus tôt, ou quelqu'un avec la clé, dites-nous quand : "
                "{link}.",
                "Si vous pouvez venir plus tôt, ou quelqu'un avec la clé, dites-nous quand.",
            ),
            ("Il peut encore faire plus doux ; nous n'écrirons qu'une fois, si cela compte.",),
        ),
    ),
    "work order": Long(
        headline=("{n} places sur {all} à visiter avant {by}.",),
        sentences=(
            (
                "{crew} heures de travail ; avec l'équipe prévue, fini vers {end}.",
                "{crew} heures de travail ; avec l'équipe prévue, {fit} sur {n} tiennent. Appeler "
                "une deuxième personne, ou commencer par les plus chers : la liste est coupée là.",
            ),
            ("D'abord {first} : c'est là qu'il y a le plus à casser.",),
            ("Ensuite rang par rang : vannes et robinets.",),
            (
                "L'air passe 0 °C vers {onset}, au plus tôt {early}, minimum environ {min} °C.",
                "L'air peut passer 0 °C dès {early}, minimum peut-être {mincold} °C.",
                "Minimum environ {min} °C, peut-être {mincold}.",
            ),
            ("À emporter : {take}.",),
            (
                "La tournée est sur les téléphones ; le lien permet d'imprimer : {link}.",
                "",
            ),
        ),
    ),
    "work order.owner": Long(
        headline=("Vidangez avant {by}.",),
        sentences=(
            ("{van}.",),
            ("Comptez {took} ; il fait nuit vers {dark}.",),
            ("Il reste : {wet}.",),
            (
                "Le chauffe-eau va sans doute se vider tout seul vers {self} ; rien ne casse pour "
                "autant.",
            ),
            (
                "Gel d'environ {onset} à {until}, minimum vers {min} °C.",
                "Gel dès {onset} environ, minimum vers {min} °C.",
                "Gel possible dès {early}, minimum peut-être {mincold} °C.",
                "Minimum peut-être {mincold} °C.",
            ),
            ("Si vous ne pouvez pas venir : {else}.",),
            ("La marche à suivre : {link}.",),
            ("Touchez « C'est fait » et vous n'entendrez plus parler de nous cette fois.",),
        ),
    ),
    "last call": Long(
        headline=("Dernier rappel pour {van} : {job} avant {ice}.",),
        sentences=(
            (
                "L'heure prévue, {by}, est passée ; la glace est possible dès {ice}, probable vers "
                "{icelikely}.",
                "L'heure prévue, {by}, est passée ; la glace est possible dès {ice}.",
                "La glace est possible dès {ice}, probable vers {icelikely}.",
                "La glace est possible dès {ice}.",
            ),
            ("Il reste : {wet}.",),
            (
                "Si le temps manque : vanne des eaux usées, pompe coupée, vanne du chauffe-eau, "
                "robinets levés, dans cet ordre.",
            ),
            (
                "Si personne ne peut y aller, laisser en l'état ; nous vous dirons quand aller "
                "voir.{?again}",
                "Si personne ne peut y aller, laisser en l'état, et aller voir après le dégel.",
            ),
        ),
    ),
    "leave alone": Long(
        headline=(
            "Laissez {van} tranquille jusque vers {thaw}.",
            "Laissez {van} tranquille jusqu'au dégel.",
        ),
        sentences=(
            (
                "D'après notre estimation, 0 °C dans les tuyaux depuis {onset}.",
                "D'après notre estimation, de l'eau a gelé.",
            ),
            ("Ne pas mettre la pompe, ne bouger aucune vanne, ne pas lancer l'eau chaude.",),
            ("La casse ne se voit qu'au dégel.",),
            ("Ni flamme ni eau bouillante.",),
        ),
    ),
    "thaw check": Long(
        headline=("Contrôle au dégel : {van}, {thaw}.",),
        sentences=(
            ("Ouvrir les robinets et laisser sortir ce qui vient.",),
            (
                "Regarder le bol du filtre, le pied des robinets, les raccords du chauffe-eau, la "
                "douchette extérieure.",
            ),
            ("Photographier avant de toucher.",),
            (
                "Ensuite seulement 20 L, la pompe, et dix minutes d'attention : si elle repart "
                "seule, il y a une fuite.",
            ),
            ("Gaz et appareil de chauffage : un professionnel.",),
        ),
    ),
    "check request": Long(
        headline=("Merci d'aller voir {van} avant {by}.", "Merci d'aller voir {van}."),
        sentences=(
            (
                "Nous n'avons pas de relevé fiable ; vu pour la dernière fois {last}.",
                "Nous n'avons aucun relevé.",
            ),
            ("Tant que personne n'a regardé, il compte comme plein.",),
            ("Cinq minutes : robinets levés ? vannes ouvertes ? quelque chose coule encore ?",),
            ("Répondez par le lien ; une photo vaut vu : {link}.", "Une photo vaut vu."),
        ),
    ),
    "roll": Long(
        headline=("Liste du {date} : pas de tournée aujourd'hui.",),
        sentences=(
            (
                "{all} véhicules : {seen} vidés et vus,[ {told} vidés d'après ce qu'on dit,"
                "{?told}] {dosed} dosés, {use} en service, {held} chauffés, {wetnow} en eau, "
                "{unk} inconnus.",
            ),
            ("Le plus froid en vue : environ {min} °C {when}.",),
            (
                "Les {unk} inconnus demandent cinq minutes chacun, par temps sec.{?unknown}",
                "",
            ),
        ),
    ),
    "no forecast": Long(
        headline=(
            "Aucune prévision valable depuis {issue}. Faites comme s'il gelait cette nuit et allez "
            "voir.",
            "Aucune prévision valable. Faites comme s'il gelait cette nuit et allez voir.",
        ),
        sentences=(
            (
                "Le lien donne tous les véhicules en eau ou inconnus, dans l'ordre de marche, sans "
                "horaires : {link}.",
                "Tous les véhicules en eau ou inconnus sont sur la liste, dans l'ordre de marche, "
                "sans horaires.",
            ),
            (
                "Nous réessayons toutes les dix minutes et vous écrivons une fois quand une "
                "prévision est lue.",
            ),
        ),
    ),
    "forecast back": Long(
        headline=(
            "Une prévision est de nouveau lue, de {issue}.",
            "Une prévision est de nouveau lue.",
        ),
        sentences=(("Heures et listes en sont tirées ; ce qui a été dit avant tient toujours.",),),
    ),
    "season": Long(
        headline=("Les gelées approchent : {n} véhicules sur {all} comptent comme en eau.",),
        sentences=(
            ("Les vider et le noter avant la première, aux heures douces d'une journée.",),
            ("Un véhicule vidé et vu ne reçoit aucun message, seulement une ligne de liste.",),
            ("La liste : {link}.", ""),
        ),
    ),
    "season.owner": Long(
        headline=("{van} : les gelées approchent, et il compte comme en eau.",),
        sentences=(
            (
                "S'il est déjà vidé, un geste suffit, et nous nous taisons : {link}.",
                "S'il est déjà vidé, dites-le-nous, et nous nous taisons.",
            ),
            ("Sinon, nous écrirons une fois, à temps, avant la première gelée qui compte.",),
        ),
    ),
}

HAZARDS = {
    "draining": (
        "D'abord couper l'eau chaude : de l'eau à 60 ou 70 °C peut sortir par le plancher sans "
        "prévenir, rester à l'écart. Eaux usées à l'égout ou dans un bac, jamais au sol. Sabler là "
        "où l'eau a coulé : la nuit, c'est de la glace. Jamais sous un cric ; caler les roues."
    ),
    "heating": (
        "Chauffer dehors seulement, cheminée, prise d'air et aérations du plancher libres de "
        "neige, et quelqu'un sur place ; tester le détecteur de monoxyde de carbone. Jamais de "
        "réchaud, de barbecue ni de moteur pour se chauffer. Mal de tête ou nausée : sortir."
    ),
    "dosing": (
        "Seulement du propylène glycol vendu pour l'eau potable, jamais de liquide de "
        "refroidissement. Gants ; hors de portée des enfants et des animaux, pas dans les eaux "
        "pluviales."
    ),
    "electric": (
        "Câble entièrement déroulé, raccords hors du sol, différentiel testé ; pas d'appareil sur "
        "secteur dans un coffre mouillé."
    ),
}

WORDS = Words(
    days=("lun.", "mar.", "mer.", "jeu.", "ven.", "sam.", "dim."),
    months=(
        "janv.",
        "févr.",
        "mars",
        "avr.",
        "mai",
        "juin",
        "juil.",
        "août",
        "sept.",
        "oct.",
        "nov.",
        "déc.",
    ),
    jobs={
        Job.DRAIN_FULLY: "vidange",
        Job.DRAIN_REST: "finir la vidange",
        Job.OPEN_WASTE: "ouvrir la vanne des eaux usées",
        Job.OPEN_TAPS: "ouvrir robinets et points bas",
        Job.FLUSH_TANK: "vider le réservoir de chasse",
        Job.DOSE_TRAPS: "doser les siphons",
        Job.LOOK: "regarder",
    },
    parts={
        Circuit.FRESH_TANK: "réservoir d'eau propre",
        Circuit.PUMP: "pompe et filtre",
        Circuit.COLD_PIPES: "tuyaux d'eau froide",
        Circuit.OUTSIDE_POINT: "douchette extérieure",
        Circuit.FILTER: "boîtier du filtre",
        Circuit.HEATER_TANK: "chauffe-eau",
        Circuit.HOT_PIPES: "tuyaux d'eau chaude et robinets",
        Circuit.SHOWER: "pomme de douche",
        Circuit.TRAPS: "siphons",
        Circuit.WASTE_PIPES: "tuyaux d'eaux usées",
        Circuit.WASTE_TANK: "réservoir d'eaux usées",
        Circuit.OUTLET_STUB: "vanne guillotine",
        Circuit.FLUSH_TANK: "pompe de chasse",
        Circuit.FLUSH_VALVE: "vanne de chasse",
        Circuit.CASSETTE: "cassette",
        Circuit.HYDRONIC: "circuit de chauffage",
        Circuit.CONTAINERS: "bidons",
        Circuit.MACERATOR: "broyeur",
        Circuit.CARRIERS: "jerricans",
    },
    groups={
        "fresh": "eau propre",
        "heater": "chauffe-eau",
        "pipes": "tuyaux et robinets",
        "flush": "réservoir de chasse",
        "traps": "siphons",
        "waste": "eaux usées",
        "carried": "bidons",
    },
    group_shorts={
        "fresh": "propre",
        "heater": "chauffe-eau",
        "pipes": "tuyaux",
        "flush": "chasse",
        "traps": "siphons",
        "waste": "usée",
        "carried": "bidons",
    },
    takes={
        Take.KEYS: "tableau des clés",
        Take.CONTAINERS: "{n} bacs d'eaux usées",
        Take.DOSE: "{n} L d'antigel à 50 %",
        Take.MESH: "grille pour {n} sorties",
        Take.GRIT: "sable",
        Take.TAGS: "{n} étiquettes",
    },
    litre="L",
    minute="min",
    comma=",",
    unknown_wet="inconnu",
    since="le {date}",
    new_clock="{time} à la nouvelle heure",
    old_clock="{time} à l'ancienne heure",
    counted={
        "bays": ("{n} place", "{n} places"),
        "vans": ("{n} véhicule", "{n} véhicules"),
        "wet_vans": ("{n} véhicule encore en eau", "{n} véhicules encore en eau"),
        "wet_or_unknown": ("{n} en eau ou inconnu", "{n} en eau ou inconnus"),
    },
    else_little="il y a peu de risque de casse à {min} °C",
    else_split="la glace pourrait fendre : {parts}",
)

CATALOGUE = Catalogue(
    short=SHORT,
    long=LONG,
    hazards=HAZARDS,
    older="La prévision de {issue} est ancienne : tout est compté {colder} K plus froid.",
    credit="Météo : {credit}. Corrigée pour le lieu.",
    foot=(
        (
            "Estimation d'après la prévision de {issue} et les relevés ; regardez avant d'agir ; "
            "la notice prime.",
            "Estimation d'après les relevés ; regardez avant d'agir ; la notice prime.",
        ),
        ("Ce n'est pas une vigilance officielle.",),
        ("{sent}, frostwatch, {place}.",),
        ("Ne plus recevoir : {stop}", ""),
    ),
    link="Lien : {link}",
    words=WORDS,
)
