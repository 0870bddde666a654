"""One's own settings, and light or dark."""

from collections.abc import Mapping

from frostwatch.languages.phrases import Counted, Leaf

OWN: Mapping[str, Leaf] = {
    "look": "Light or dark",
    "look.device": "As the device",
    "look.light": "Light",
    "look.dark": "Dark",
    "own.title": "Your settings",
    "own.roles": "What you may do",
    "own.language": "Language of your pages",
    "own.language.say": "It holds on every device you are signed in on. The language of messages "
    "stands with the person who gets them.",
    "own.look.say": "It holds on this device. What is printed is always light.",
    "own.keys": "Keys on the round",
    "own.keys.say": "With j and k, or the arrows, from stop to stop while the focus is in the "
    "list. It holds on this device.",
    "own.keys.on": "Keys go from stop to stop",
    "own.keep": "Keep this",
    "own.password": "Password",
    "own.password.say": "Every other device is signed out by it.",
    "own.password.before": "Password so far",
    "own.password.wrong": "This is not your password so far. Type it again.",
    "own.password.kept": "The new password is kept. Every other device was signed out.",
    "own.devices": "Other devices",
    "own.devices.say": Counted(
        "{n} other device is signed in with your account.",
        "{n} other devices are signed in with your account.",
    ),
    "own.devices.out": "Sign them out",
}
