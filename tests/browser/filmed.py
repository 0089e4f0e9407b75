"""A real clip with all that is made of it, so that player and plots show something true.

Measuring takes ten seconds and more, so document and series are kept in `measured/`. Where their form has changed, they are made anew by
`python -m tests.browser.filmed`.
"""

import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory

from models.document import Document
from service.jobs.order import Folder, Order
from service.records import Clip, Person, PrescriptionVersion
from service.records.keeping import keep_measurement
from service.store import ClipFiles
from tests.browser.site import Site

SAMPLES = Path(__file__).parents[2] / "sample_clips"
SAMPLE = SAMPLES / "push-up-too-fast.mp4"
MEASURED = Path(__file__).with_name("measured")
PLAN = 'movement = "push-up"\nsets = 1\nreps = 3\ntempo = "3-0-1-0"\n\n[limits]\nbent.elbow = { low = 80 }\nstraight.body = { low = 5, high = 25 }\n'


@dataclass(frozen=True)
class Filmed:
    """A folder in which a sample clip was measured, as a worker does it."""

    folder: Folder

    @property
    def document(self) -> Document:
        """What was measured, judged by `PLAN`."""
        return Document.model_validate_json(self.folder.document.read_bytes())


def measured_sample(path: Path) -> Filmed:
    """The smallest sample clip with what was measured in it. It plays in browsers, and so is its own proxy."""
    folder = Folder(path)
    for kept, place in ((MEASURED / "document.json", folder.document), (MEASURED / "series.npz", folder.series)):
        copyfile(kept, place)
    copyfile(SAMPLE, folder.proxy)
    return Filmed(folder)


def measure(clip: Path, plan: str, path: Path) -> Filmed:
    """Measure a clip in a child process, as a worker does it."""
    folder = Folder(path)
    copyfile(clip, folder.clip)
    order = Order(prescription=plan, movement=None, hold=None, height_cm=172.0, sensor=False, memory_mb=4000)
    folder.order.write_text(order.model_dump_json(), encoding="utf-8")
    command = [sys.executable, "-m", "service.jobs.child", str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL) as child:  # ends when stdin does
        assert child.wait() == 0
    return Filmed(folder)


def measure_anew() -> None:
    """Measure the sample clip, and keep document and series."""
    with TemporaryDirectory() as name:
        folder = measure(SAMPLE, PLAN, Path(name)).folder
        for made in (folder.document, folder.series):
            copyfile(made, MEASURED / made.name)


def put(
    site: Site, filmed: Filmed, athlete: Person, version: PrescriptionVersion, when: datetime | None = None
) -> Clip:
    """Let an athlete have sent the clip, and the service have measured it."""
    document = filmed.document
    clip = site.clip(athlete, filmed=when)
    files = ClipFiles(clip.id)
    site.parts.store.put(files.proxy, filmed.folder.proxy)
    site.parts.store.put(files.series, filmed.folder.series)
    with site.parts.database.session() as records:
        keep_measurement(records, clip, version, document)
        row = records.get_one(Clip, clip.id)
        row.state, row.seconds, row.prescription_version_id = "measured", document.clip.seconds, version.id
    return clip


if __name__ == "__main__":
    measure_anew()
