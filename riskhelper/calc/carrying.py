"""Guideline figures for a seated person, carrying, pushing, teams, and reference masses of standards."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, Table, calculation
from riskhelper.calc.manual_handling import LEAFLET, POPULATIONS
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing

SEATED_KG = {"women": 3.0, "men": 5.0}
CARRY_WITHOUT_REST_M = 10.0
TEAM_SHARE = {2: 2 / 3, 3: 1 / 2}  # guidance with the Manual Handling Operations Regulations 1992, as quoted


@calculation(
    "manual_handling.seated_guideline_kg",
    unit="kg",
    relation="m by table: women 3, men 5",
    source=f"{LEAFLET}, rev. 4 p. 7",
    validity="seated, hands close to the body, no twist",
    directions={"population": "fixed"},
)
def seated_guideline_kg(population: str) -> Outcome:
    """Guideline mass for handling while seated.

    m = 3 (women), 5 (men)

    Parameters
    ----------
    population : str
        `men` or `women`.

    Returns
    -------
    Computed
        Guideline mass m [kg].

    Validity
    --------
    Hands within the box of the figure, close to the body.

    Source
    ------
    HSE INDG143 rev. 4, p. 7.

    >>> seated_guideline_kg("women").value
    3.0
    """
    option("population", population, POPULATIONS)
    return Computed(SEATED_KG[population], "kg")


@calculation(
    "manual_handling.carry_share",
    unit="",
    relation="share = distance / 10 m",
    source=LEAFLET,
    validity="0 to 1000 m (ours); load held against the body, on level ground",
    directions={"distance_m": "up"},
)
def carry_share(distance_m: float) -> Outcome:
    """Carrying distance over the distance the guideline masses allow without a rest.

    share = distance / 10

    Parameters
    ----------
    distance_m : float
        Distance carried without a rest, 0 to 1000 [m].

    Returns
    -------
    Computed
        Share [1]; `extra` holds `carry_without_rest_m`.

    Validity
    --------
    Stated as about 10 m; load held against the body.

    Source
    ------
    HSE INDG143, text of figure 1.

    >>> carry_share(25.0).value
    2.5
    """
    extra = {"carry_without_rest_m": CARRY_WITHOUT_REST_M}
    return outside(("distance", distance_m, 0, 1000, "m")) or Computed(
        distance_m / CARRY_WITHOUT_REST_M, "", extra=extra
    )


@calculation(
    "manual_handling.push_pull_kg",
    unit="kg",
    relation="force by table, written as a mass",
    source="HSE guideline filter for pushing and pulling (INDG143 / L23)",
    validity="hands between hip and shoulder, up to about 20 m, good floor",
    directions={"population": "fixed", "action": "fixed", "forces": "fixed"},
)
def push_pull_kg(population: str, action: str, forces: Table) -> Outcome:
    """Guideline force for pushing and pulling, as the page writes it.

    F = table row

    Parameters
    ----------
    population : str
        `men` or `women`.
    action : str
        `start_or_stop` or `keep_moving`.
    forces : Table
        Guideline forces.

    Returns
    -------
    Computed
        Force written as a mass [kg].

    Validity
    --------
    A filter, not a limit.

    Source
    ------
    HSE INDG143 / L23: starting or stopping, men 20, women 15.

    >>> from riskhelper.terms import Standing
    >>> rows = (("start_or_stop", 20.0, 15.0),)
    >>> page = Table("p", "HSE INDG143", "4", "text", "kg", Standing.PUBLISHED,
    ...     ("action", "men_kg", "women_kg"), rows, "exact")
    >>> push_pull_kg("women", "start_or_stop", page).value
    15.0
    """
    option("population", population, POPULATIONS)
    row = table_rows.row_named(forces, "action", action)
    return Computed(table_rows.number(forces, row, f"{population}_kg"), "kg", notes=(forces.cited,))


@calculation(
    "manual_handling.team_kg",
    unit="kg",
    relation="m = 2/3 of the sum for two people, 1/2 for three",
    source="HSE L23, guidance with the Manual Handling Operations Regulations 1992, team handling, as quoted",
    validity="two or three people with room, a good grip each and a call",
    directions={"first_kg": "up", "second_kg": "up", "third_kg": "fixed"},
)
def team_kg(first_kg: float, second_kg: float, third_kg: float = 0.0) -> Outcome:
    """What a team of two or three can lift, from what each can lift alone.

    m = share * sum; share 2/3 for two, 1/2 for three

    Parameters
    ----------
    first_kg : float
        What the first person can lift alone, 0 to 100 [kg].
    second_kg : float
        What the second can lift alone, 0 to 100 [kg].
    third_kg : float
        What the third can lift alone; 0 when there is none, 0 to 100 [kg].

    Returns
    -------
    Computed
        Mass m the team can lift [kg].

    Validity
    --------
    Good conditions; on steps, slopes or in narrow places less.

    Source
    ------
    HSE L23, as quoted: two thirds of the sum, half for three.

    >>> round(team_kg(25.0, 25.0).value, 1)
    33.3
    """
    people = (first_kg, second_kg, third_kg)
    if broken := outside(*(("what one person can lift", each, 0.0, 100.0, "kg") for each in people)):
        return broken
    return Computed(sum(people) * TEAM_SHARE[3 if third_kg > 0 else 2], "kg")


@calculation(
    "manual_handling.reference_mass_kg",
    unit="kg",
    relation="m by table",
    source="ISO 11228-1:2021 and ISO/TR 12295:2014 (from memory, to be confirmed)",
    validity="objects of 3 kg or more, good conditions",
    directions={"population": "fixed", "masses": "fixed"},
    standing=Standing.MEMORY,
)
def reference_mass_kg(population: str, masses: Table) -> Outcome:
    """Reference mass of a group of workers.

    m = table row

    Parameters
    ----------
    population : str
        A row of the table, for instance `women_18_to_45`.
    masses : Table
        Reference masses.

    Returns
    -------
    Computed
        Reference mass m [kg].

    Validity
    --------
    Objects of 3 kg or more.

    Source
    ------
    ISO 11228-1:2021, ISO/TR 12295:2014, from memory.

    >>> from riskhelper.terms import Standing
    >>> masses = Table("m", "ISO 11228-1", "2021", "reference masses", "kg", Standing.MEMORY,
    ...     ("population", "mass_kg"), (("women_18_to_45", 20.0),), "exact")
    >>> reference_mass_kg("women_18_to_45", masses).value
    20.0
    """
    row = table_rows.row_named(masses, "population", population)
    return Computed(table_rows.number(masses, row, "mass_kg"), "kg", notes=(masses.cited,))
