"""What a measuring gives, made by hand in a second: three push-ups, the last one lowered too fast, on a sample clip."""

from pathlib import Path
from shutil import copyfile

import av
import pytest
from av.video.frame import VideoFrame

from models.document import Document
from models.movements import load_movement
from service.jobs.series import write_series
from service.records import Clip, Person, PrescriptionVersion
from service.store import ClipFiles
from tests.browser.site import Site
from tests.by_hand import PUSH_UP_ELBOW, motion, push_ups
from vision.measure import Measurement

SAMPLES = Path(__file__).parents[2] / "sample_clips"
SAMPLE = SAMPLES / "push-up-too-fast.mp4"
PLAN = 'movement = "push-up"\nsets = 1\nreps = 3\ntempo = "3-0-1-0"\nnote = "Slow all the way down."\n'
CAMERA_FRAMES = 90


@pytest.fixture(scope="session")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with document, series and proxy."""
    folder = tmp_path_factory.mktemp("ready")
    document = push_ups()
    (folder / "document.json").write_text(document.model_dump_json())
    copyfile(SAMPLE, folder / "proxy.mp4")
    seen = motion(PUSH_UP_ELBOW, seconds=document.clip.seconds)
    write_series(Measurement(document, seen, load_movement("push-up")), folder / "series.npz")
    return folder


@pytest.fixture(scope="session")
def camera_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the fake camera sees, over and over: the sample clip, small, as Chromium wants it."""
    path = tmp_path_factory.mktemp("camera") / "seen.mjpeg"
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
    files = ClipFiles(clip.id)
    site.parts.store.put(files.proxy, ready / "proxy.mp4")
    site.parts.store.put(files.series, ready / "series.npz")
    return clip
