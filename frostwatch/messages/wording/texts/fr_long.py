"""French long forms: headline, then sentences."""

from frostwatch.messages.wording.texts import Long

LONG = {
    "outlook": Long(
        headline=(
            "Gel probable à partir de {onset}. {n} véhicule sur {all} est encore en eau.{?one}",
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
        headline=(
            "{n} place sur {all} à visiter avant {by}.{?one}",
            "{n} places sur {all} à visiter avant {by}.",
        ),
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
        headline=(
            "Les gelées approchent : {n} véhicule sur {all} compte comme en eau.{?one}",
            "Les gelées approchent : {n} véhicules sur {all} comptent comme en eau.",
        ),
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
