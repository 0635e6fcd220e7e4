"""What the answers of a job say of the plant it is on: its number, the site, the highest voltage on its plate."""

from __future__ import annotations

from riskhelper.evidence import Job

SITE, PLANT, VOLTAGE_KV = "job.site_name", "job.plant_id", "plant.tx_kv"


def plant_number(job: Job) -> str:
    """The number of the plant; empty where nobody has said it."""
    return _words(job, PLANT)


def site_name(job: Job) -> str:
    """The name of the site; empty where nobody has said it."""
    return _words(job, SITE)


def highest_v(job: Job) -> int:
    """The highest voltage on the plate [V]; 0 where nobody knows it."""
    answer = job.answers.get(VOLTAGE_KV)
    return round(answer.value * 1000) if answer is not None and isinstance(answer.value, float) else 0


def contradiction(job: Job, plant: str, voltage_v: int) -> str:
    """Where a permit for this plant and voltage [V] says less or other than the answers; empty where it agrees."""
    stated_v, stated = highest_v(job), plant_number(job)
    if voltage_v < stated_v:
        return f"The answers give {stated_v} V on the plate, the permit {voltage_v} V"
    if stated and "".join(stated.split()).casefold() not in "".join(plant.split()).casefold():
        return f"The answers are about plant `{stated}`, the permit about `{plant}`"
    return ""


def _words(job: Job, question: str) -> str:
    answer = job.answers.get(question)
    return answer.value if answer is not None and isinstance(answer.value, str) else ""
