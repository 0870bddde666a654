# ruff: noqa: E501 - one fault a line is easier to read than wrapped ones
"""What a fleet file can get wrong, one fault a line, with what is said about it."""

import pytest

from frostwatch.storage.fleet_files import read_fleet_toml
from tests.builders import FLEET_TOML


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("latitude = 54.74", "latitude = 95.0", "line 4, latitude: site cold-rigg: latitude is 95, it must be between -90 and 90 degrees."),
        ("latitude = 54.74", "latitude = nan", "line 4, latitude: site cold-rigg: latitude is nan"),
        ("latitude = 54.74\n", "", "line 1, latitude: latitude is missing. Fill it in."),
        ("latitude = 54.74", 'latitude = "north"', "line 4, latitude: 'north' is no number."),
        ("latitude = 54.74", "latitude = [1]", "line 4, latitude: latitude must be a number."),
        ("Europe/London", "Europe/Londn", "line 6, time_zone: site cold-rigg: time zone 'Europe/Londn' is not known."),
        ('kind = "yard"', 'kind = "yrd"', "line 3, kind: kind 'yrd' is not known. Did you mean 'yard'?"),
        ("mon-fri 08:00-16:30", "mon-fri 8-16", "line 7, hours: time of day '8' cannot be read. Write it like 07:40."),
        ("mon-fri 08:00-16:30", "moonday 08:00-16:30", "line 7, hours: day 'moonday' is not known."),
        ("mon-fri 08:00-16:30", "mon-fri 16:30-08:00", "line 7, hours: shift on weekday 0 16:30-08:00"),
        ("mon-fri 08:00-16:30", "mon-fri", "line 7, hours: hours 'mon-fri' cannot be read."),
        ('operator = "ailsa"', 'operator = "ailsu"', "line 9, operator: site cold-rigg: its operator 'ailsu' is not among the people. Did you mean 'ailsa'?"),
        ('operator = "ailsa"', 'oprator = "ailsa"', "line 9, oprator: 'oprator' is not known here. Did you mean 'operator'?"),
        ('operator = "ailsa"', 'cost_ratio = 3', "line 9, cost_ratio: site cold-rigg: cost ratio is 3"),
        ('operator = "ailsa"', 'caution = "careful"\ncost_ratio = 0.1', "line 10, cost_ratio: caution and cost_ratio are both given."),
        ('operator = "ailsa"', 'crew = 1.5', "line 9, crew: crew must be a whole number."),
        ('operator = "ailsa"', 'gas_allowed = "perhaps"', "line 9, gas_allowed: 'perhaps' is neither yes nor no."),
        ('duty = "operator"', 'duty = "boss"', "line 13, duty: duty 'boss' is not known. Give one of crew, dealer, operator, owner."),
        ('sites = ["cold-rigg"]', 'sites = ["warm-rigg"]', "line 14, sites: person ailsa: works at 'warm-rigg'"),
        ('sites = ["cold-rigg"]', 'sites = [1, 2]', "line 14, sites: sites must be a list of texts."),
        ('reading = ["07:40"]', 'reading = ["25:00"]', "line 15, reading: time of day '25:00' cannot be read."),
        ('reading = ["07:40"]', 'reading = 7', "line 15, reading: reading must be a list of texts."),
        ('reading = ["07:40"]', 'slots = ["sat 16:00-10:00"]', "line 15, slots: slot on weekday 5"),
        ('reading = ["07:40"]', 'quiet = "21"', "line 15, quiet: hours '21' cannot be read."),
        ('reading = ["07:40"]', 'travel_min = -3', "line 15, travel_min: person ailsa: travel is -3"),
        ('address = "outbox://local"', 'form = "long"', "line 17, address: address is missing."),
        ('address = "outbox://local"', 'address = "outbox://local"\nform = "tiny"', "line 20, form: channel e-mail: form 'tiny' is not known."),
        ('bay = "A-02"', 'bay = "B-02"', "line 24, bay: vehicle Y02: bay 'B-02' is not at site cold-rigg. Did you mean"),
        ('bay = "A-02"', 'bay = true', "line 24, bay: bay must be text."),
        ('bay = "A-02"', 'bay = "A\\u0007"', "line 24, bay: bay has a control character in it."),
        ('bay = "A-02"', 'keeper = "Ailsa"', "line 24, keeper: vehicle Y02: its keeper 'Ailsa' is not among the people. Did you mean 'ailsa'?"),
        ('bay = "A-02"', 'hold = 3', "line 24, hold: hold must be a table. Write [vehicle.hold]."),
        ('bay = "A-02"', 'hold = {source = "post", power_w = 900}', "line 24, setting_c: setting_c is missing."),
        ('bay = "A-02"', 'hold = {source = "post", power_w = 1.4, setting_c = 5}', "line 24, power_w: heated hold by post: power is 1.4"),
        ('bay = "A-02"', 'hold = {source = "post", power_w = 900, setting_c = 5, colour = 1}', "line 24, colour: 'colour' is not known here."),
        ('layout = "alcove-family"', 'layout = "alcove"', "line 25, layout: vehicle Y02: layout 'alcove' is not in the catalogue."),
        ('"F1.capacity_l" = 110', '"F1.capacity_l" = 0', "line 28, own: vehicle Y02: F1.capacity_l is 0, it must be between 0.01 and 1000 L."),
        ('"F1.capacity_l" = 110', '"F1.capacity" = 110', "line 28, own: vehicle Y02: 'F1.capacity' is no number of layout alcove-family. Did you mean 'F1.capacity_l'?"),
        ('"F1.capacity_l" = 110', '"F1.capacity_l" = "a lot"', "line 28, F1.capacity_l: F1.capacity_l must be a number."),
        ('circuit = "fresh"', 'circuit = "frsh"', "line 31, circuit: circuit 'frsh' is not known. Did you mean 'fresh'?"),
        ('circuit = "fresh"', 'circuit = "X2"', "line 31, circuit: layout alcove-family has no X2 macerator. It has F1 fresh tank"),
        ('circuit = "fresh"', 'circuit = "F"', "line 33, litres: litres for several circuits at once."),
        ('state = "travel level"', 'state = "half"', "line 32, state: state 'half' is not known."),
        ("litres = 20", "litres = 200", "line 33, litres: 200 L is more than F1 fresh tank holds (110 L)."),
        ("litres = 20", "litres = -2", "line 33, litres: entry for Y02 F1: litres is -2"),
        ("litres = 20", "dose_percent = 35", "line 33, dose_percent: a dose belongs to the state dosed"),
        ("litres = 20", 'event = "demostration"', "line 33, event: the happening 'demostration' is not known. Did you mean 'demonstration'?"),
        ('by = "owner"\n', "", "line 30, by: by is missing."),
        ("2026-10-24T16:30:00+01:00", "2026-10-24T16:30:00", "line 35, at: at has no time zone. Put a Z behind it for UTC."),
        ("2026-10-24T16:30:00+01:00", '"24.10.2026 16:30"', "line 35, at: '24.10.2026 16:30' is no ISO 8601 time."),
        ("2026-10-24T16:30:00+01:00", "2026-10-24", "line 35, at: at is missing. Write it like 2026-11-20T10:00:00Z."),
        ('key = "Y03"', 'key = "Y02"', "line 38, key: vehicle Y02: the key 'Y02' is used twice."),
        ('key = "Y03"\n', "", "line 37, key: key is missing."),
        ("[[vehicle.water]]", "[[vehicle.waters]]", "line 30, waters: 'waters' is not known here. Did you mean 'water'?"),
        ("[[person.channel]]", "[person.channel]", "line 17, channel: channel must be a list of tables. Write [[person.channel]]."),
        ("[[site]]", "[[sites]]", "line 1, sites: 'sites' is not known here. Did you mean 'site'?"),
        ('key = "Y03"', 'key = "Y03', "line 38, column 11: this is no TOML"),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_line_and_how_to_mend_it(old: str, new: str, said: str) -> None:
    assert FLEET_TOML.count(old) >= 1
    broken = FLEET_TOML.replace(old, new, 1)
    result = read_fleet_toml(broken)
    assert isinstance(result, list)
    told = [str(problem) for problem in result]
    assert any(said in problem for problem in told), told
