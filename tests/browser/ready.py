"""What a measuring gives, made by hand in a second: three push-ups, the last one lowered too fast, or a handstand, on a sample clip."""

from dataclasses import replace
from pathlib import Path
from shutil import copyfile

import av
import pytest
from av.video.frame import VideoFrame

from models.document import Document
from models.movements import load_movement
from models.prescription import parse_prescription
from models.quantity import Measured
from models.verdict import judge
from service.jobs.series import write_series
from service.records import Clip, Person, PrescriptionVersion
from service.store import ClipFiles
from tests.browser.site import Site
from tests.by_hand import PUSH_UP_ELBOW, motion, plank, push_ups
from vision.measure import Measurement
from vision.motion import Motion

SAMPLES = Path(__file__).parents[2] / "sample_clips"
SAMPLE = SAMPLES / "push-up-too-fast.mp4"
PLAN = 'movement = "push-up"\nsets = 1\nreps = 3\ntempo = "3-0-1-0"\nnote = "Slow all the way down."\n'
HOLD_PLAN = 'movement = "handstand"\nsets = 1\nhold = 10\n'
CAMERA_FRAMES = 90


@pytest.fixture(scope="session")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with document, series and proxy of the push-ups."""
    [only] = push_ups(judged=False).sets
    first, *others = only.reps
    reps = (first.model_copy(update={"top_pause": others[0].top_pause}), *others)
    measured = push_ups().model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)})
    document = judge(measured, parse_prescription(PLAN.encode(), "plan"))
    return _folder(tmp_path_factory.mktemp("ready"), document, motion(PUSH_UP_ELBOW, document.clip.seconds), SAMPLE)


@pytest.fixture(scope="session")
def ready_handstand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same of a handstand that was held for eight seconds, not still enough for ten."""
    document = judge(handstand(), parse_prescription(HOLD_PLAN.encode(), "plan"), lambda hold, *_: hold.still)
    still = motion([(0, 4), (15, 4)], document.clip.seconds)
    upside_down = replace(
        still,
        angles=still.angles | {"lean": 2 + 0 * still.time},
        sd=still.sd | {"lean": still.sd["body"]},
        placing_sd=still.placing_sd | {"lean": still.placing_sd["body"]},
        level_sd=still.level_sd | {"lean": still.level_sd["body"]},
    )
    return _folder(tmp_path_factory.mktemp("handstand"), document, upside_down, SAMPLES / "handstand-push-up.mp4")


def handstand() -> Document:
    """The plank's numbers, upside down."""
    [only] = plank().sets
    [hold] = only.holds
    straight = hold.posture.model_copy(update={"body": None, "lean": Measured(value=2.1, U95=1.5, unit="deg")})
    holds = (hold.model_copy(update={"posture": straight}),)
    return plank().model_copy(update={"movement": "handstand", "sets": (only.model_copy(update={"holds": holds}),)})


def _folder(folder: Path, document: Document, seen: Motion, clip: Path) -> Path:
    (folder / "document.json").write_text(document.model_dump_json())
    copyfile(clip, folder / "proxy.mp4")
    write_series(Measurement(document, seen, load_movement(document.movement)), folder / "series.npz")
    return folder


@pytest.fixture(scope="session")
def camera_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the fake camera sees, over and over."""
    return film_for_camera(tmp_path_factory.mktemp("camera") / "seen.mjpeg")


def film_for_camera(path: Path) -> Path:
    """The sample clip, small, as Chromium wants it."""
    with av.open(str(SAMPLE)) as source, av.open(str(path), "w", format="mjpeg") as made:
        stream = made.add_stream("mjpeg", rate=30)
        stream.width, stream.height, stream.pix_fmt = 640, 360, "yuvj420p"
        for number, frame in enumerate(source.decode(video=0)):
            if number == CAMERA_FRAMES:
                break
            small = frame.reformat(640, 360, "yuvj420p")
            made.mux(stream.encode(VideoFrame.from_ndarray(small.to_ndarray(), format="yuvj420p")))
        made.mux(stream.encode())
    return path


def put(site: Site, ready: Path, athlete: Person, version: PrescriptionVersion | None) -> Clip:
    """Let an athlete have sent a clip, and the service have measured it."""
    document = Document.model_validate_json((ready / "document.json").read_text())
    clip = site.measured(athlete, document, version=version)
    if version is not None:
        with site.parts.database.session() as records:
            records.get_one(Clip, clip.id).prescription_version_id = version.id
    files = ClipFiles(clip.id)
    site.parts.store.put(files.proxy, ready / "proxy.mp4")
    site.parts.store.put(files.series, ready / "series.npz")
    return clip
