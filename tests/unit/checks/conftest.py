"""One invented craft that keeps every limit, and a way to change it."""

import tomllib
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from rotorwright.craft.model import Craft
from rotorwright.craft.read import read_craft
from rotorwright.parts.shelf import builtin_shelf

# Invented. Places and sizes leave room everywhere; the region is left open, so that legal notes ask for it.
SOUND = """
format = 1
name = "Sound"
[site]
temperature_degc = 20
[frame]
layout = "x"
motor_spacing_mm = 226
[flight]
profile = "filming"
landing_voltage_v = 3.5
[ground]
view = "goggles, digital-a"
antennas = ["antenna-5.8ghz-right"]
[[part]]
id = "motors"
use = "motor-2306-1750"
[[part]]
id = "propellers"
use = "5x4.3-3"
rotation_max_rpm = 45000
[[part]]
id = "nuts"
use = "nut-m5-locking-steel"
role = "propeller-nut"
count = 4
[[part]]
id = "esc"
use = "esc-4in1-45a-30x30"
at_mm = [0, 0, -14]
fed_from = "battery.lead"
[[part]]
id = "battery"
use = "battery-6s-1300-75c"
rating_c = 150
resistance_mohm = 40
lead_gauge_awg = 10
at_mm = [0, 0, 34]
[[part]]
id = "plug"
use = "connector-two-pin-60a-male"
current_a = 120
role = "battery-connector"
at_mm = [-80, 0, -8]
[[part]]
id = "cap"
use = "capacitor-470uf-50v"
series_resistance_mohm = 15
at_mm = [-58, 0, -13]
[[part]]
id = "fc"
use = "fc-30x30-5v3a-9v3a-log"
at_mm = [0, 0, -4]
fed_from = "battery.lead"
[[part]]
id = "rx"
use = "receiver-2.4ghz"
at_mm = [-30, 0, 7]
fed_from = "fc.5V"
[[part]]
id = "rx-antenna"
use = "antenna-2.4ghz-t"
role = "control-antenna"
at_mm = [-95, 0, -11]
turn_deg = [0, 90, 0]
[[part]]
id = "camera"
use = "camera-19mm-digital-a-4x3"
at_mm = [70, 0, -5]
tilt_deg = 30
fed_from = "vtx.camera"
[[part]]
id = "mount"
use = "print-camera-mount-19mm"
role = "camera-mount"
at_mm = [44, 0, -5]
[[part]]
id = "vtx"
use = "vtx-digital-a-25-700mw-20x20"
at_mm = [-44, 0, -12]
fed_from = "fc.9V"
set_power_mw = 25
[[part]]
id = "vtx-antenna"
use = "antenna-5.8ghz-right-short"
role = "video-antenna"
at_mm = [-92, 0, 12]
turn_deg = [0, -45, 0]
[[part]]
id = "recorder"
use = "recording-camera-35g"
at_mm = [66, 0, 30]
tilt_deg = 15
[[part]]
id = "strap"
use = "strap-250x20"
at_mm = [0, 0, 34]
[[part]]
id = "arms"
use = "plate-arm-112x14x5"
role = "arm"
count = 4
[[part]]
id = "main"
use = "plate-deck-150x44x2"
role = "deck"
at_mm = [0, 0, -20.75]
[[part]]
id = "brace"
use = "plate-deck-70x42x2"
role = "deck"
at_mm = [0, 0, -27.75]
[[part]]
id = "top"
use = "plate-deck-130x42x2"
role = "deck"
at_mm = [0, 0, 11.25]
[[part]]
id = "standoffs"
use = "standoff-m3x30"
count = 6
at_mm = [0, 0, -4.75]
[[part]]
id = "motor-screws"
use = "screw-m3x8-button"
role = "motor-mount"
count = 16
[[part]]
id = "standoff-screws"
use = "screw-m3x8-button"
count = 12
at_mm = [0, 0, -4.75]
[[part]]
id = "grommets"
use = "grommet-m3-4mm-hole-soft"
hardness = 15
count = 4
at_mm = [0, 0, -9]
[[wire]]
from = "battery.lead"
to = "esc.supply"
gauge_awg = 10
length_mm = 60
[[wire]]
from = "fc.9V"
to = "vtx.supply"
gauge_awg = 26
length_mm = 80
"""

Changes = dict[str, Any]


def changed(changes: Changes) -> str:
    """Text of the sound craft with `part-id.key` or `table.key` set, or removed where the value is None.

    A part's id alone with None removes the part; `+part`, `+wire` and `+waive` append tables.
    """
    table = deepcopy(tomllib.loads(SOUND))
    for path, value in changes.items():
        name, _, key = path.partition(".")
        if name.startswith("+"):
            table.setdefault(name[1:], []).append(value)
            continue
        if name in ("site", "frame", "flight", "ground", "weighed"):
            holder = table.setdefault(name, {})
        else:
            holder = next(part for part in table["part"] if part["id"] == name)
        if not key:
            table["part"].remove(holder)
        elif value is None:
            holder.pop(key)
        else:
            holder[key] = value
    return tomlkit.dumps(table)


@pytest.fixture(scope="session")
def sound() -> Callable[..., Craft]:
    """The sound craft, with changes."""

    def read(changes: Changes | None = None) -> Craft:
        return read_craft(Path("sound.toml"), builtin_shelf(), changed(changes or {}))

    return read
