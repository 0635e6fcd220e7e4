"""Check values for oil, flow, threads, burns, containment, fire and noise against publications.

`refused_figure_pa` is the figure a refusal must name; a coefficient named after a library function is taken
from that library at the flow the case states.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from fluids.flow_meter import C_Reader_Harris_Gallagher

from riskhelper.calc.all_subjects import complete_catalogue
from riskhelper.calc.calculation import OutsideLimits
from tests.numbers.reading_cases import Case, cases, check, table, told

CATALOGUE = complete_catalogue()
CASES = cases("oil")
PUBLISHED_SOURCES = 83
OURS = (
    "burn",
    "containment",
    "drain",
    "fire",
    "flow",
    "handling",
    "hydrostatics",
    "noise_plant",
    "oil_data",
    "pcb",
    "threads",
    "viscous",
)
CHECKED_ELSEWHERE = {
    "burn.threshold_c": "test_oil_rules.py",
    "threads.pitch_gap_mm": "test_oil_rules.py",
    "oil_data.flash_point_floor_c": "test_oil_rules.py",
    "oil_data.shut_in_pressure_kpa": "test_oil_rules.py",
    "viscous.bleed_flow_l_per_min": "test_independent_oil.py",
}


def _coefficient(case: Case) -> float:
    """The turbulent coefficient of a plate with corner taps at the flow the case expects."""
    given = case.inputs
    return float(
        C_Reader_Harris_Gallagher(
            D=given["pipe_bore_mm"] / 1000,
            Do=given["orifice_bore_mm"] / 1000,
            rho=given["density_kg_per_m3"],
            mu=given["dynamic_viscosity_pa_s"],
            m=case.expected["value"] * given["density_kg_per_m3"],  # type: ignore[operator]
            taps="corner",
        )
    )


def _inputs(case: Case) -> dict[str, Any]:
    ready = {}
    for name, given in case.inputs.items():
        if isinstance(given, str) and given.startswith("table:"):
            given = table(given.removeprefix("table:"))  # noqa: PLW2901
        elif given == "fluids.C_Reader_Harris_Gallagher":
            given = _coefficient(case)  # noqa: PLW2901
        ready[name] = given
    return ready


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_published_figure_comes_out(case: Case) -> None:
    outcome = CATALOGUE[case.calculation].at(**_inputs(case))
    got = told(outcome)
    if isinstance(outcome, OutsideLimits):
        figure = re.search(r"gives (-?[\d.]+)$", outcome.limit)
        got |= {"refused": True, "refused_figure_pa": float(figure[1]) if figure else None}

    check(case, got)


def test_no_published_figure_was_dropped() -> None:
    assert len({case.id.partition("/")[0] for case in CASES}) == PUBLISHED_SOURCES


def test_every_case_states_source_and_standing() -> None:
    standings = {"published", "to be confirmed", "common practice"}

    assert [case.id for case in CASES if not case.source or case.standing not in standings] == []


def test_every_calculation_of_these_subjects_has_a_check_value() -> None:
    checked = {case.calculation for case in CASES} | set(CHECKED_ELSEWHERE)

    assert {name for name in CATALOGUE if name.partition(".")[0] in OURS} - checked == set()
