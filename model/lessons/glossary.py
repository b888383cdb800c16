"""Words that beginners do not know, each in a sentence or two."""

from __future__ import annotations

GLOSSARY = {
    "A": "Ampere, the unit of current: how much flows at this moment.",
    "Ah": "Ampere-hour: amperes × hours. 1 A for 10 h and 10 A for 1 h are both 10 Ah.",
    "AGM": "A sealed lead-acid battery.",
    "AWG": "Wire size. The higher the number, the thinner the wire.",
    "ARQ data": "Typed messages: the other station confirms every piece or asks for it again.",
    "cut-off": "The voltage at which the battery, or what protects it, switches off.",
    "controller": "Stands between panel and battery, and charges the battery as it needs.",
    "full power": "Below a certain voltage a radio still works, but transmits with less.",
    "key-down": "While you transmit: the key or the microphone button is pressed.",
    "LFP": "A lithium iron phosphate battery.",
    "net": "Several stations meet on one frequency at an agreed time.",
    "operate": "The amplifier is ready to amplify at once, and draws current all the time.",
    "rated": "What the label says; what a part gives in use is another matter.",
    "S-unit": "A step on the scale of a signal meter.",
    "standby": "Switched on but not ready to transmit: it draws a little current all the time.",
    "sun hours": "The light of a day, counted as hours of full sun (1000 W/m²).",
    "W": "Watt, the unit of power: volts × amperes.",
}
