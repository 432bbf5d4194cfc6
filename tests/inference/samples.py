"""Small samples of invented dialects for the tests of learning."""

from __future__ import annotations

from convert.inference.lesson import Lesson, study
from convert.text.source import Source

GERMAN = """\
; Hobelbank-Einstellungen, Geschwindigkeiten in mm/s
[Schichten]
Schichthöhe = 0,2
Höhe der ersten Schicht = 0,28
[Wände]
Anzahl der Wände = 3
Linienbreite Außenwand = 0,42
Geschwindigkeit Außenwand = 60
Geschwindigkeit Innenwand = 90
[Füllung]
Fülldichte = 18 %
Füllmuster = Gyroid
Füllgeschwindigkeit = 120
[Temperaturen]
Düsentemperatur = 215
Düsentemperatur erste Schicht = 220
Betttemperatur = 60
[Rückzug]
Rückzugslänge = 0,8
Rückzugsgeschwindigkeit = 35
[Lüfter]
Lüfter maximal = 80 %
Stützstruktur aktiv = nein
"""

TEN_LINES = """\
layer_height = 0.2
height_of_layer_one = 0.3
wall_count = 3
nozzle_diameter = 0.4
nozzle_temperature = 210
bed_temperature = 60
infill_density = 20%
travel_speed = 180
retraction_length = 0.8
support_enabled = no
"""

SPANISH = """\
{
  "altura_de_capa": 0.2, "altura_primera_capa": 0.3, "numero_de_paredes": 3,
  "velocidad_pared_exterior": 60, "velocidad_de_relleno": 120, "velocidad_desplazamiento": 200,
  "densidad_de_relleno": 20, "temperatura_boquilla": 210, "temperatura_de_la_cama": 60,
  "longitud_retraccion": 0.8, "velocidad_retraccion": 35, "diametro_boquilla": 0.4
}
"""


def lesson(text: str, name: str = "sample.txt", **options: object) -> Lesson:
    """Learn one text."""
    return study([Source.from_bytes(text.encode(), name)], "sample", **options)  # type: ignore[arg-type]


def accepted(found: Lesson) -> dict[str, tuple[str, str | None]]:
    """Key -> setting and unit of what was accepted."""
    return {
        record.key: (str(record.setting), record.unit)
        for record in found.learned.records
        if record.decision == "accepted"
    }


def named(found: Lesson) -> dict[str, str]:
    """Key -> setting, accepted or offered."""
    return {record.key: record.setting for record in found.learned.records if record.setting}


COMPOUND = """\
# machine
build width x depth x height = 220 x 210 x 250
nozzle temperature first/rest = 215/205
retraction length@speed = 0.8@35
layer height min..max = 0.08..0.28
top/bottom layers = 5/4
skirt loops x distance = 2 x 4
fan min-max = 30-100
layer height = 0.2
outer/inner wall speed = 60/90
travel speed = 200 mm/s
"""
