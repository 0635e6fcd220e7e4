"""Imports every subject so that the catalogue is complete."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from riskhelper.calc.calculation import Calculation, catalogue

SUBJECTS: tuple[str, ...] = (
    "access",
    "approach",
    "approach_formula",
    "arc",
    "arc_2002",
    "arc_2018",
    "burn",
    "cable",
    "capacitor",
    "carrying",
    "cold",
    "containment",
    "daylight",
    "discharge",
    "disconnection",
    "drain",
    "dropped",
    "fault_current",
    "fire",
    "flow",
    "handling",
    "heat",
    "heat_index",
    "height",
    "hydrostatic_force",
    "hydrostatics",
    "lift",
    "lift_index",
    "lift_multipliers",
    "lift_time",
    "lightning",
    "manual_handling",
    "matrix_axioms",
    "noise",
    "noise_plant",
    "oil",
    "oil_data",
    "oil_flow",
    "pcb",
    "risk_graph",
    "risk_scales",
    "shock",
    "threads",
    "viscous",
    "wind",
)


def complete_catalogue() -> Mapping[str, Calculation]:
    """Every calculation of the program by name, sorted."""
    for subject in SUBJECTS:
        import_module(f"riskhelper.calc.{subject}")
    return catalogue()
