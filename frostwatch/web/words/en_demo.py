"""The demo, in English."""

from collections.abc import Mapping

DEMO: Mapping[str, str] = {
    "demo.name": "Demo",
    "demo.bar": "<b>Demo.</b> All of it is invented. It is <b>{when}</b> at the yard.",
    "demo.label": "The demo’s places and clock",
    "demo.place.yard": "A yard",
    "demo.place.owner": "One owner",
    "demo.place.forecourt": "A forecourt",
    "demo.about": "About",
    "demo.scene.quiet": "Quiet day",
    "demo.scene.order": "Work order",
    "demo.scene.walk": "Walk",
    "demo.scene.late": "Too late",
    "demo.scene.thaw": "Thaw",
    "demo.clock": "Set the clock",
    "demo.hour": "Day and hour at the yard",
    "demo.set": "Set",
    "demo.title": "An invented week with frost",
    "demo.say": "Three invented places, an invented forecast, real sums. Nothing "
    "leaves this computer. Choose a place above, and an hour: what "
    "everybody is told by then is worked out in between.",
    "demo.keeps": "Going forward keeps what you pressed, so a round that is walked "
    "early leaves nobody too late. Going back starts the story over.",
    "demo.said": "Said so far",
    "demo.said.none": "Nobody had to be told anything yet.",
    "demo.said.to": "to {name}",
    "demo.said.open": "Open its link",
    "demo.playing": "Playing the story: {when}",
    "demo.playing.say": "Every pass and every message on the way is worked out; a day takes "
    "some ten seconds. This page goes on by itself.",
    "demo.wrong": "<b>The clock was not set.</b> The invented weather goes from {first}"
    " to {last}. Choose an hour in between.",
}
