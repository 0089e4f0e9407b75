"""A gym with a history, all of it measured in sample clips, so that every screen shows what it is for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final

from sqlalchemy import select

from service.api.sampling import is_drawn
from service.jobs.order import Folder
from service.records import Clip, Effort, Gym, Person, Prescription, PrescriptionVersion, now
from tests.browser.filmed import SAMPLES, Filmed, measure, put
from tests.browser.site import Site

BOXED: Final = "hands_raised_cm = 42\n"
PUSH_UP: Final = 'movement = "push-up"\n{more}sets = 3\nreps = 5\ntempo = "{tempo}"\nnote = "Stop the set when the hips sag."\n\n[limits]\nbent.elbow = {{ low = 80 }}\nworst.hip = {{ low = -20, high = 25 }}\n'
PLANS: Final = {
    "push-up-hands-raised": PUSH_UP.format(more=BOXED, tempo="3-1-1-0"),
    "push-up-flat": PUSH_UP.format(more="", tempo="5-1-1-0"),
    "push-up-set": PUSH_UP.format(more="", tempo="5-1-1-0"),
    "push-up-too-fast": PUSH_UP.format(more="", tempo="3-0-1-0"),
    "handstand-hold": 'movement = "handstand"\nsets = 3\nhold = 10\n\n[limits]\nposture.lean = { low = -5, high = 5 }\n',
    "pull-up-lowering-only": (SAMPLES / "pull-up-lowering-only.toml").read_text(encoding="utf-8"),
}
"""What each clip is judged by."""
HISTORY: Final = (
    *(("Marit Holm", "push-up-set", 7 * week) for week in range(16, 2, -1)),
    ("Tomasz Reuter", "push-up-hands-raised", 40),
    ("Tomasz Reuter", "push-up-hands-raised", 33),
    ("Tomasz Reuter", "push-up-flat", 26),
    ("Tomasz Reuter", "push-up-flat", 19),
    ("Tomasz Reuter", "push-up-set", 12),
    ("Tomasz Reuter", "push-up-too-fast", 5),
    ("Tomasz Reuter", "push-up-set", 2),
    ("Tomasz Reuter", "handstand-hold", 12),
    ("Tomasz Reuter", "handstand-hold", 2),
    ("Marit Holm", "pull-up-lowering-only", 3),
    ("Marit Holm", "push-up-too-fast", 1),
)
"""Who sent which clip, how many days ago."""


@dataclass(frozen=True)
class Sent:
    """A clip with what it was judged by."""

    clip: Clip
    version: PrescriptionVersion
    efforts: tuple[Effort, ...]


@dataclass(frozen=True)
class History:
    """What people of the gym sent, by athlete and sample clip; the last of each kind."""

    athlete: Person
    other: Person
    coach: Person
    sent: Mapping[tuple[str, str], Sent]


def measured_clips(folder: Path) -> dict[str, Filmed]:
    """Every sample clip of the history, measured where that was not done yet."""
    found = {}
    for name, plan in PLANS.items():
        place = folder / name
        place.mkdir(parents=True, exist_ok=True)
        known = Filmed(Folder(place))
        found[name] = known if known.folder.document.exists() else measure(SAMPLES / f"{name}.mp4", plan, place)
    return found


def furnish(site: Site, measured: Mapping[str, Filmed]) -> History:
    """Put the history into a gym, and let its coach have ruled on the older half."""
    people = _people(site)
    versions: dict[tuple[str, str], PrescriptionVersion] = {}
    sent: dict[tuple[str, str], Sent] = {}
    for name, sample, days in HISTORY:
        person, plan = people[name], PLANS[sample]
        version = versions.get((name, plan)) or _prescribe(site, person, plan)
        versions[name, plan] = version
        clip = put(site, measured[sample], person, version, now() - timedelta(days=days, hours=2))
        efforts = tuple(_efforts(site, clip))
        if days > 6:
            _rule(site, clip, efforts)
        sent[name, sample] = Sent(clip, version, efforts)
    return History(people["Tomasz Reuter"], people["Marit Holm"], people["Ilka Brandt"], sent)


def _people(site: Site) -> dict[str, Person]:
    home, named = site.home, {}
    with site.parts.database.session() as records:
        records.get_one(Gym, home.id).name = "Halle Nord"
        for person, name, height, mass in (
            (home.coach, "Ilka Brandt", None, None),
            (home.athlete, "Tomasz Reuter", 172.0, 68.0),
            (home.other_athlete, "Marit Holm", 168.0, 61.0),
        ):
            row = records.get_one(Person, person.id)
            row.name, row.height_cm, row.mass_kg = name, height, mass
            named[name] = row
    return named


def _prescribe(site: Site, person: Person, plan: str) -> PrescriptionVersion:
    """Prescribe it in place of what the person did of the same movement before."""
    version = site.prescription(person, plan)
    with site.parts.database.session() as records:
        new = records.get_one(Prescription, version.prescription_id)
        same = select(Prescription).where(Prescription.athlete_id == person.id, Prescription.movement == new.movement)
        for each in records.scalars(same):
            each.active = each is new
    return version


def _rule(site: Site, clip: Clip, efforts: tuple[Effort, ...]) -> None:
    """Rule as a coach who mostly agrees: every seventh differs."""
    coach = site.client(site.home.coach)
    for effort in efforts:
        if effort.verdict in ("missed", "unsure") or is_drawn(effort):
            said = "met" if (effort.verdict == "met") is (effort.id % 7 != 0) else "missed"
            answer = coach.post(f"/api/v1/clips/{clip.id}/rulings", json={"effort": effort.id, "ruling": said})
            assert answer.status_code == 201, answer.text


def _efforts(site: Site, clip: Clip) -> Iterator[Effort]:
    with site.parts.database.session() as records:
        yield from records.scalars(select(Effort).where(Effort.clip_id == clip.id).order_by(Effort.start)).all()
