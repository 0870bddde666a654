"""Signing in and being refused."""

from collections.abc import Mapping

from frostwatch.languages.phrases import InContext

DOOR: Mapping[str, str] = {
    "door.title": InContext("title of the page", "Sign in"),
    "door.say": "Which vehicle still holds water, and by when it must be out.",
    "door.email": "E-mail",
    "door.password": "Password",
    "door.lasting": "Keep this device signed in for the season",
    "door.sign_in": "Sign in",
    "door.sign_out": "Sign out",
    "door.language": "Language of the pages",
    "door.phone": "<b>On the yard phone?</b> Point the camera at the square on the round sheet, or "
    '<a href="/walk">type the round’s six figures</a>. It opens that round and nothing else.',
    "door.code": "<b>A one-time code?</b> "
    '<a href="/sign-in/code">Choose your password with it</a>. A forgotten password needs a new '
    "code: ask whoever looks after this service.",
    "door.foot": "Owners need no account: the link in the message is enough. Lost it? Ask the yard "
    "to send it again. frostwatch is no public warning; for those, follow the official weather "
    "service.",
    "door.first": '<b>Nobody can sign in here yet.</b> <a href="/sign-in/code">Make the first '
    "account</a> with the one-time code that the service printed when it was started.",
    "door.wrong": "This e-mail and this password do not belong together. "
    '<a href="#email">Correct one of them</a>.',
    "door.shut": "Too many tries. Wait {minutes} minutes, then try again; a new one-time "
    "code opens "
    "the way at once.",
    "door.expired": "You were signed out. Sign in, and the page opens again.",
    "code.title": "Choose your password",
    "code.first": "Make the first account",
    "code.first.say": "Nobody can sign in here yet. The one-time code stands in what the service "
    "printed when it was started; it holds one day, and each start prints a new one.",
    "code.say": "Whoever made your account gave you the code. It works once.",
    "code.code": "One-time code",
    "code.email": "E-mail you will sign in with",
    "code.password": "New password",
    "code.password_hint": "Twelve letters or more. A few words in a row are easy to keep in mind.",
    "code.keep": "Keep this password",
    "code.void": "This code was mistyped, has expired, or has been used already.",
    "code.other": "The code was made for another e-mail address, or was mistyped.",
    "code.no_email": "This is no e-mail address. Write it like ada@yard.example.",
    "code.short": "Fewer than twelve letters. Add a word or two.",
    "code.long": "More than 200 letters. Take a shorter one.",
    "code.plain": "The same few letters, or a row of them. Take words that have nothing to do with "
    "each other.",
    "code.named": "Little more than your name or address. Take words that nobody would think of.",
    "faults.one": "<b>One thing to put right:</b>",
    "faults.more": "<b>{n} things to put right:</b>",
    "refused.title": "Nothing here",
    "refused.nothing": "There is no such page, or it is not yours to see.",
    "refused.role": "Your role here does not allow this. Whoever is operator of the place can "
    "change it.",
    "refused.form_title": "Not kept",
    "refused.form": "This page had been open for too long, or was signed out meanwhile. Go back, "
    "load it again and send it once more; most browsers keep what you typed.",
    "refused.try_title": "Too many tries",
    "refused.try": "Wait {minutes} minutes, then try again.",
    "refused.fault_title": "Not done",
    "refused.fault": "Something failed here and was noted in the log. Nothing of this step was "
    "kept.",
    "refused.unread_title": "Not kept",
    "refused.unread": "What was sent could not be read: it is not what a page of this service "
    "sends, or far more than one holds. Go back, load the page again and send less at once.",
    "refused.elsewhere_title": "Not kept",
    "refused.elsewhere": "This was sent from another site’s page. Open the page here, and send it "
    "from there.",
    "refused.large_title": "Not kept",
    "refused.large": "More than {most} MB cannot be taken at once. Send it in parts.",
    "refused.home": "Go to the round",
    "refused.sign_in": "Sign in",
}
