"""French."""

NAME = "Français"

TEXTS = {
    "kicker": "{van}, {place}. Écrit {when}",
    "kicker.many": "{place}. Écrit {when}",
    "title": "{van} : {headline}",
    "skip": "Aller à la réponse",
    "language": "Langue",
    "answer": "Votre réponse",
    "still_in": "Encore en eau",
    "all_empty": "Rien n'est connu qui contienne encore de l'eau.",
    "where.pipes": "et ce qui reste entre le réservoir et les robinets",
    "where.valve": "se videra sans doute tout seul vers {time} ; cela ne casse rien",
    "where.unknown": "personne ne sait combien ; compte comme plein",
    "known.seen": "Vu par {who} le {date}.",
    "known.told": "Selon {who}, le {date}. Personne n'a regardé depuis.",
    "known.you": "Selon vous, le {date}. Personne n'a regardé depuis.",
    "known.you.crew": "Noté par vous le {date}.",
    "known.never": "Personne n'a rien noté : compte comme plein tant que personne n'a regardé.",
    "cannot_head": "Si vous ne pouvez pas venir",
    "cannot_head.crew": "Si personne ne peut y aller",
    "mind_head": "Attention",
    "how": "Comment faire, en {n} étapes",
    "grit": "Là où l'eau a coulé, ça gèle : sable ou gravillon. La notice prime.",
    "done": "C'est fait",
    "done.check": "Regardé : tout est vide",
    "done.all": "C'est fait, les {n}",
    "cannot": "Je ne peux pas",
    "cannot.crew": "Personne ne peut",
    "part": "En partie",
    "going": "J'y vais un jour précis",
    "going.crew": "Prévu un jour précis",
    "correct": "Ce n'était qu'une partie",
    "noted.done": "Noté. Plus de message pour ce gel.",
    "noted.done.say": "Noté ainsi : vidé, déclaré par {who}, {time}.",
    "noted.all": "Noté. Tous sont vidés, selon déclaration.",
    "noted.part": "Noté. Reste à faire : {wet}.",
    "noted.part.say": "Ce qui est vide est noté comme déclaré par {who}, {time}. Ce qui reste en "
    "eau peut encore geler ; dites-nous quand c'est fait.",
    "noted.part.open": "Noté : en partie seulement.",
    "noted.cannot": "Noté : vous ne pouvez pas.",
    "noted.cannot.crew": "Noté : personne ne peut.",
    "noted.cannot.say": "Un seul autre message s'il fait plus froid que {min} °C. Quelqu'un "
    "d'autre a la clé ?",
    "noted.cannot.plain": "Quelqu'un d'autre a la clé ?",
    "noted.going": "Noté : vous y allez {time}.",
    "noted.going.crew": "Noté : prévu {time}.",
    "noted.going.say": "Plus rien jusque-là. Appuyez sur C'est fait quand tout est vide.",
    "noted.going.late": "C'est plus tard que {by}, l'heure à tenir. S'il a gelé d'ici là, ne "
    "touchez à rien.",
    "row.asked": "à faire",
    "row.done": "vidé, déclaré par {who}, {time}",
    "row.part": "en partie, {time}",
    "row.cannot": "impossible, {time}",
    "row.going": "prévu {time}",
    "row.nothing": "vidé",
    "row.lapsed": "rien à faire pour l'instant",
    "row.late": "ne rien toucher",
    "row.seen": "vidé, vu par {who}, {date}",
    "row.told": "vidé, déclaré par {who}, {date}",
    "you": "vous",
    "nothing": "Rien à faire.",
    "nothing.say": "{known} Nous écrivons si cela change.",
    "nothing.all": "Rien à faire sur aucun.",
    "lapsed": "Rien à faire pour l'instant.",
    "lapsed.say": "Le gel de ce message est passé, ou il fait plus doux. Il reste de l'eau ; nous "
    "écrirons à temps avant le prochain. Vidé entre-temps ? Dites-le, et vous n'entendrez plus "
    "rien.",
    "late": "{van} : ne rien toucher.",
    "late.say": "Il était encore en eau quand le gel est venu. Ne pas mettre la pompe, ne bouger "
    "aucune vanne, ne pas lancer l'eau chaude. La casse ne se voit qu'au dégel. Ni flamme ni eau "
    "bouillante. Nous vous dirons quand aller voir.",
    "late.rest": "Ceux-ci ont sans doute gelé : pompe coupée, aucune vanne, pas d'eau chaude.",
    "ask.part": "Que reste-t-il en eau ?",
    "ask.part.say": "Ce qui est coché compte comme encore en eau, le reste comme vide.",
    "ask.going": "Quand y allez-vous ?",
    "ask.going.crew": "Quand quelqu'un y va-t-il ?",
    "ask.going.say": "Plus aucun message jusque-là.",
    "other_day": "Un autre jour, une autre heure",
    "keep": "Noter cela",
    "back": "Retour",
    "wrong_day": "Choisissez une des heures, ou un jour et une heure dans les 30 jours.",
    "foot": "Ce lien vaut pour ce véhicule seulement, jusqu'au {date}. Estimation d'après "
    "une prévision "
    "et les relevés ; regardez avant d'agir ; la notice prime. Ce n'est pas une vigilance "
    "officielle.",
    "foot.many": "Ce lien vaut pour ces {n} véhicules seulement, jusqu'au {date}. Estimation "
    "d'après une prévision et les relevés ; regardez avant d'agir ; la notice prime. Ce n'est pas "
    "une vigilance officielle.",
    "credit": "Météo : {credit}. Corrigé pour le lieu.",
    "strip": "De {start} à {end}. Gris : nuit ; jaune : jour.",
    "strip.by": "À faire avant {by}.",
    "strip.frost": "Gel possible dès {early}.",
    "frost": "gel",
    "and_more": "et {n} autres",
    "expired": "Ce lien n'ouvre plus rien.",
    "expired.say": "Il a pris fin avec son hiver, ou a été retiré. Demandez-en un nouveau à qui "
    "l'a envoyé. Si le gel vient et que personne ne sait où en est le véhicule, allez voir.",
    "unknown": "Ce lien n'existe pas.",
    "unknown.say": "Ouvrez-le encore une fois depuis le message : en entier, jusqu'au dernier "
    "caractère. Si le gel vient et que personne ne sait où en est le véhicule, allez voir.",
    "too_many": "Trop de liens qui n'existent pas.",
    "too_many.say": "Attendez un quart d'heure, puis rouvrez le lien du message.",
    "failed": "Pas noté.",
    "failed.say": "Rien n'a été écrit. Appuyez encore dans une minute, ou répondez FAIT au message "
    "là où les réponses arrivent.",
}

STEPS = (
    (
        "Couper le chauffe-eau",
        "Attendre qu'elle soit tiède : elle sort par le plancher, jusqu'à 70 °C.",
    ),
    (
        "Ouvrir la vanne des eaux usées",
        "À une aire de vidange ou dans un bac. Jamais par terre.",
    ),
    ("Couper la pompe", "Au tableau."),
    (
        "Eau propre : le bouchon, pas la molette",
        "La molette laisse environ 20 L. Bouchon de remplissage ouvert.",
    ),
    ("Ouvrir la vanne du chauffe-eau", "Elle est peut-être déjà ouverte."),
    ("Tous les robinets levés, au milieu", "Et la douche, pommeau posé dans le bac."),
    ("Points bas et réservoir de chasse", "Les ouvrir ; appuyer une fois sur la chasse."),
    ("Tout laisser ouvert", "Accrocher l'étiquette au volant."),
)
