"""Distances each local code gives, against the figures as its document prints them.

Alberta: OHS Code Explanation Guide, 1 July 2009, Table 17.1 (Schedule 4 of the code), section 225.
New Zealand: WorkSafe New Zealand, Working near low voltage overhead electric lines: 4 m without written consent;
network owners tell the same of NZECP 34:2001 for every exposed live part.
United States, general industry: 29 CFR 1910.333(c)(3)(ii), Table S-5.
"""

from __future__ import annotations

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.calc.approach import no_closer_distance
from riskhelper.calc.calculation import Computed, OutsideLimits
from riskhelper.evidence import Answer
from tests.content.shipped import NOW, files, job_of, rules

CODES = tuple(
    sorted(name.removeprefix("local/").removesuffix(".toml") for name in files() if name.startswith("local/"))
)
PRINTED_M = {
    "ca_ab": {0.6: 1.0, 25: 3.0, 40: 3.0, 69: 3.5, 72: 3.5, 138: 4.0, 144: 4.0, 230: 5.0, 260: 5.0, 500: 7.0},
    "nz": {0.4: 4.0, 11: 4.0, 33: 4.0, 110: 4.0},
    "us333": {0.48: 0.305, 2: 0.46, 13.8: 0.61, 34.5: 0.91, 69: 1.07, 115: 1.22, 138: 1.37},
}


@pytest.mark.parametrize(
    ("code", "voltage_kv", "printed_m"), [(c, v, d) for c, all_ in PRINTED_M.items() for v, d in all_.items()]
)
def test_a_local_code_gives_the_distance_its_document_prints(code: str, voltage_kv: float, printed_m: float) -> None:
    outcome = no_closer_distance(rules(code).tables["approach"], voltage_kv, 0.0, "skilled")

    assert isinstance(outcome, Computed)
    assert outcome.value == pytest.approx(printed_m)


@pytest.mark.parametrize("code", sorted(PRINTED_M))
def test_past_the_end_of_its_table_a_code_gives_no_figure(code: str) -> None:
    assert isinstance(no_closer_distance(rules(code).tables["approach"], 765.0, 0.0, "skilled"), OutsideLimits)


@pytest.mark.parametrize("code", [code for code in CODES if "approach" not in rules(code).tables])
def test_a_code_without_distances_leaves_near_live_parts_a_stop(code: str) -> None:
    case = rules().cases["winter_dusk_in_service"]
    near = {"live.adjacent_live": "yes", "plant.terminals": "bare", "live.barrier": "rope_only"}
    answers = {**job_of(case, more=near).answers, "live.near_kv": Answer(33.0), "live.nearest_live_m": Answer(20.0)}
    answers |= {"live.dist_method": Answer("optical"), "live.long_obj_m": Answer(0.0), "job.altitude_m": Answer(0.0)}
    job = job_of(case)

    found = assess(rules(code), type(job)(answers=answers, planned=job.planned, local_code=code), "gate", NOW)

    assert "live.too_close" in {stop.id for stop in found.stops}


@pytest.mark.parametrize("code", CODES)
def test_a_code_names_its_edition_and_whom_it_yields_to(code: str) -> None:
    local = rules(code).local

    assert local is not None
    assert local.edition.strip()
    assert local.defers_to.strip()
    assert code == "none" or {"issuer", "licensed electrician", "switching person"} <= set(local.roles)
