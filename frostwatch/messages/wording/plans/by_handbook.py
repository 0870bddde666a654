"""English texts of what handbooks say where they differ; a clause each, for a list or a sentence.

Keys are the rule, a colon and the word; a number has the rule alone.
"""

HANDBOOK = {
    "line": "Its handbook: {what}.",
    "line page": "Its handbook, {page}: {what}.",
    "waste valve: open": "waste valve left open over winter",
    "waste valve: shut": "waste valve shut over winter",
    "pump order: off first": "pump off before a tap is opened",
    "pump order: runs dry first": "pump runs until the taps stop, then off",
    "pump run": "pump dry for {n} s at most",
    "antifreeze: traps": "antifreeze into the traps alone",
    "antifreeze: nowhere": "no antifreeze anywhere",
    "antifreeze: pipes too": "antifreeze into the pipes as well",
    "salt: no": "no salt",
    "salt: allowed": "salt may go into the waste tank",
    "container: open over a container": "in use in frost, waste valve open over a container",
    "container: kept empty": "in use in frost, waste tank kept empty, no container",
    "air pressure": "air blown through at {n} bar at most",
    "air pressure: none": "no air blown through",
}
