"""Se connecter et être refusé, en français."""

from collections.abc import Mapping

DOOR: Mapping[str, str] = {
    "door.title": "Connexion",
    "door.say": "Quel véhicule contient encore de l’eau, et avant quand elle doit en être sortie.",
    "door.email": "E-mail",
    "door.password": "Mot de passe",
    "door.lasting": "Rester connecté sur cet appareil pour la saison",
    "door.sign_in": "Se connecter",
    "door.sign_out": "Se déconnecter",
    "door.phone": "<b>Sur le téléphone du parc\u202f?</b> Visez le carré de la feuille de "
    "tournée, ou "
    '<a href="/walk">tapez les six chiffres de la tournée</a>. Cela ouvre cette tournée et rien '
    "d’autre.",
    "door.code": "<b>Un code à usage unique\u202f?</b> "
    '<a href="/sign-in/code">Choisissez votre mot de passe avec lui</a>. Un mot de passe oublié '
    "demande un nouveau code\u202f: adressez-vous à qui s’occupe de ce service.",
    "door.foot": "Les propriétaires n’ont pas besoin de compte\u202f: le lien du message suffit. "
    "Perdu\u202f? Demandez au parc de le renvoyer. frostwatch n’est pas une vigilance "
    "publique\u202f; "
    "pour cela, suivez le service météorologique officiel.",
    "door.wrong": "Cet e-mail et ce mot de passe ne vont pas ensemble. "
    '<a href="#email">Corrigez l’un des deux</a>.',
    "door.shut": "Trop d’essais. Attendez {minutes} minutes, puis réessayez\u202f; un "
    "nouveau code à "
    "usage unique ouvre tout de suite.",
    "door.expired": "Vous avez été déconnecté. Connectez-vous et la page s’ouvrira de nouveau.",
    "code.title": "Choisir votre mot de passe",
    "code.say": "Le code figurait dans le journal au premier démarrage de ce service, ou bien il "
    "vous a été remis par qui a créé votre compte. Il sert une seule fois.",
    "code.code": "Code à usage unique",
    "code.email": "E-mail avec lequel vous vous connecterez",
    "code.password": "Nouveau mot de passe",
    "code.password_hint": "Douze caractères ou plus. Quelques mots à la suite se retiennent bien.",
    "code.keep": "Garder ce mot de passe",
    "code.void": "Ce code est mal tapé, périmé ou déjà utilisé.",
    "code.other": "Ce code a été fait pour une autre adresse e-mail, ou il est mal tapé.",
    "code.no_email": "Ce n’est pas une adresse e-mail. Écrivez-la comme ada@parc.example.",
    "code.short": "Moins de douze caractères. Ajoutez un mot ou deux.",
    "code.long": "Plus de 200 caractères. Prenez-en un plus court.",
    "code.plain": "Toujours les mêmes caractères, ou une suite. Prenez des mots sans rapport entre "
    "eux.",
    "code.named": "Guère plus que votre nom ou votre adresse. Prenez des mots auxquels personne ne "
    "penserait.",
    "faults.one": "<b>Un point à corriger\u202f:</b>",
    "faults.more": "<b>{n} points à corriger\u202f:</b>",
    "refused.title": "Rien ici",
    "refused.nothing": "Cette page n’existe pas, ou elle n’est pas pour vous.",
    "refused.role": "Votre rôle ici ne le permet pas. Le responsable du parc peut le changer.",
    "refused.form_title": "Non enregistré",
    "refused.form": "Cette page est restée ouverte trop longtemps, ou a été déconnectée "
    "entre-temps. "
    "Revenez en arrière, rechargez-la et envoyez-la de nouveau\u202f; la plupart des "
    "navigateurs gardent "
    "ce que vous avez tapé.",
    "refused.try_title": "Trop d’essais",
    "refused.try": "Attendez {minutes} minutes, puis réessayez.",
    "refused.fault_title": "Non effectué",
    "refused.fault": "Quelque chose a échoué ici et a été noté au journal. Rien de cette étape n’a "
    "été gardé.",
    "refused.home": "Aller à la tournée",
    "refused.sign_in": "Se connecter",
}
