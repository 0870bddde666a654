"""French texts: "vous" to owners, infinitive on work sheets. No ê â î ô û ç œ in short forms."""

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take
from frostwatch.messages.wording.texts import Catalogue, Words
from frostwatch.messages.wording.texts.fr_long import LONG
from frostwatch.messages.wording.texts.fr_short import SHORT

ANSWERS = {
    "done": 'Noté: vidé, selon vous, {time}. Plus rien cette fois. Avec une photo, c\'est "vu": '
    "{link}",
    "part": "Noté. Que reste-t-il? Deux gestes: {link}",
    "cannot": "Noté. Un seul autre message s'il fait plus froid que {min} C. "
    "Quelqu'un d'autre a la clé? {link}",
    "going": "Noté: vous y allez {time}. Plus rien d'ici là. {link}",
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
    answers=ANSWERS,
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
