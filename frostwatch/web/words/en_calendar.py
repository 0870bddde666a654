"""The page on which people get the address of their calendar."""

from collections.abc import Mapping

CALENDAR: Mapping[str, str] = {
    "cal.title": "Calendar",
    "cal.say": "Hours to drain by, rounds, every step of a handover and thaw checks, in your own "
    "calendar program. It fetches them by itself about once an hour; an hour that moves is moved "
    "there too.",
    "cal.own": "Yours",
    "cal.own_none": "Your account belongs to none of the people who are told. Whoever looks after "
    "this service can change that, with: frostwatch accounts add --person.",
    "cal.site": "{place}, all of it",
    "cal.none": "No address was made.",
    "cal.made": "Made {date}, holds until {until}.",
    "cal.fetched": "Last fetched {at}.",
    "cal.not_fetched": "No calendar program has fetched it yet.",
    "cal.ended": "The address ended {until}.",
    "cal.make": "Make an address",
    "cal.renew": "Make a new address",
    "cal.renew_say": "A new address ends the one before.",
    "cal.withdraw": "Withdraw the address",
    "cal.withdrawn": "The address opens nothing any more. Take the calendar out of your calendar "
    "program: what it took in last would stay there.",
    "cal.here": "The address of this calendar",
    "cal.once": "It is shown this once: only a mark of it is kept. In your calendar program add it "
    "as a calendar from the web. Whoever has it sees what stands in it, so give it to nobody else.",
    "cal.open": "Open it in the calendar of this device",
    "cal.to": "Addresses of calendars",
}
