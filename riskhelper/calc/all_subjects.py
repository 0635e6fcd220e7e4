"""Which modules hold the calculations of each subject, so that one can be found without importing all."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from riskhelper.calc.calculation import Calculation, catalogue

SUBJECTS: Mapping[str, tuple[str, ...]] = {
    "approach": ("approach", "approach_formula", "approach_lines"),
    "arc": ("arc", "arc_2002", "arc_2018"),
    "burn": ("burn",),
    "cable": ("cable",),
    "capacitor": ("capacitor",),
    "cold": ("cold",),
    "containment": ("containment",),
    "daylight": ("daylight",),
    "disconnection": ("disconnection",),
    "drain": ("drain", "drain_outlet"),
    "fault_current": ("fault_current",),
    "fire": ("fire",),
    "flow": ("discharge", "flow"),
    "handling": ("handling",),
    "heat": ("heat", "heat_index"),
    "height": ("access", "height", "height_limits"),
    "hydrostatics": ("hydrostatic_force", "hydrostatics"),
    "lift": ("dropped", "lift", "lift_index", "lift_multipliers", "lift_time"),
    "lightning": ("lightning",),
    "manual_handling": ("carrying", "manual_handling"),
    "matrix_axioms": ("matrix_axioms",),
    "noise": ("noise", "noise_dose"),
    "noise_plant": ("noise_plant",),
    "oil": ("oil", "oil_flow"),
    "oil_data": ("oil_data",),
    "pcb": ("pcb",),
    "risk_graph": ("risk_graph",),
    "risk_scales": ("risk_scales",),
    "shock": ("shock",),
    "threads": ("threads",),
    "viscous": ("viscous",),
    "wind": ("wind",),
}


def complete_catalogue() -> Mapping[str, Calculation]:
    """Every calculation of the program by name, sorted."""
    for subject in SUBJECTS:
        _bring_in(subject)
    return catalogue()


def calculation_named(name: str) -> Calculation | None:
    """The calculation of that name, importing only its own subject; nothing if there is none."""
    _bring_in(name.partition(".")[0])
    return catalogue().get(name)


def _bring_in(subject: str) -> None:
    for module in SUBJECTS.get(subject, ()):
        import_module(f"riskhelper.calc.{module}")
