"""Floor 2. Drying: where a herb stops in the air of a room, and the curve of a student's own weighings.

equilibrium_moisture, damp_for, sorption, herbs   where herb and air come to rest            (room: sorption)
read_log                                          a log of weighings, as it was typed        (rooms: log, clock)
fit                                               the curve of a log, and how sure it is     (rooms: curve, solver)
stops_in, airflow, dry_enough                     the room, the fan, and when to stop        (room: room)
"""

from __future__ import annotations

from herbcalc.drying.curve import Band, DryingCurve, fit
from herbcalc.drying.log import Log, read_log
from herbcalc.drying.room import DryEnough, Standstill, airflow, dry_enough, stops_in
from herbcalc.drying.solver import MODELS
from herbcalc.drying.sorption import Sorption, damp_for, equilibrium_moisture, herbs, sorption

__all__ = [
    "MODELS",
    "Band",
    "DryEnough",
    "DryingCurve",
    "Log",
    "Sorption",
    "Standstill",
    "airflow",
    "damp_for",
    "dry_enough",
    "equilibrium_moisture",
    "fit",
    "herbs",
    "read_log",
    "sorption",
    "stops_in",
]
