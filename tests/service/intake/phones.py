"""Clips as phones write them, with everything planted in them that must not stay."""

import struct
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np

CONTAINERS: Final = Path(__file__).parents[4] / "shared" / "containers"
CLIPS: Final = Path(__file__).parents[3] / "sample_clips"

PLACE, DEVICE, PERSON, WORDS, PROGRAM = "+51.5033-000.1196", "Fernglas 12 Pro", "Karo Beispiel", "Elm Lane", "Camfilm 7"
TRACK, VOICE, DAY = "$GPRMC,093000,A,5130", "what was said aloud.", "2026-10-05"
BETWEEN = "lat=51.5033"
PLANTED: Final = (PLACE, DEVICE, PERSON, WORDS, PROGRAM, TRACK, VOICE, DAY, BETWEEN)
TAGS: Final = {
    "location": f"{PLACE}/",
    "com.apple.quicktime.location.ISO6709": f"{PLACE}+012.345/",
    "com.apple.quicktime.model": DEVICE,
    "com.apple.quicktime.software": PROGRAM,
    "com.apple.quicktime.creationdate": f"{DAY}T11:30:00+0200",
    "creation_time": f"{DAY}T09:30:12.000000Z",
    "make": DEVICE,
    "artist": PERSON,
    "title": f"garage, {WORDS}",
    "comment": f"garage, {WORDS}",
    "encoder": PROGRAM,
}
CODECS: Final = {"mp4": "libx264", "mov": "libx264", "mkv": "libx264", "webm": "libvpx-vp9"}
STEP: Final = Fraction(1, 1000)


def write_clip(
    path: Path,
    *,
    size: tuple[int, int] = (160, 120),
    frames: int = 45,
    tags: Mapping[str, str] = TAGS,
    options: Mapping[str, str] | None = None,
    codec: str | None = None,
    stamps: list[int] | None = None,
) -> Path:
    """A moving bar at a varying rate, reordered pictures where the codec has them, tags, and sound in a MOV."""
    ending = path.suffix[1:]
    shown = stamps or [int(ms) for ms in np.cumsum(np.random.default_rng(1).integers(25, 45, frames))]
    with av.open(str(path), "w", options=dict(options or {})) as container:
        container.metadata.update(tags)
        picture = container.add_stream(codec or CODECS[ending], rate=30, options={"cpu-used": "8"})
        assert isinstance(picture, av.VideoStream)
        picture.width, picture.height, picture.pix_fmt = *size, "yuv420p"
        picture.time_base = picture.codec_context.time_base = STEP
        picture.metadata["handler_name"] = DEVICE
        sound = container.add_stream("pcm_s16le", rate=8000, layout="mono") if ending == "mov" else None
        for n, ms in enumerate(shown):
            image = np.full((size[1], size[0], 3), 90, np.uint8)
            image[:, n % size[0] : n % size[0] + 20] = 220
            frame = av.VideoFrame.from_ndarray(image, format="rgb24")
            frame.pts, frame.time_base = ms, STEP
            container.mux(picture.encode(frame))
        if sound is not None:
            container.mux(sound.encode(spoken()))
            container.mux(sound.encode())
        container.mux(picture.encode())
    _plant_between_pictures(path)
    if ending in {"mp4", "mov"}:
        with path.open("ab") as file:
            file.write(box(b"uuid", bytes(16) + f"{DEVICE} {PLACE}".encode()))
            file.write(box(b"gps ", TRACK.encode() * 9))
    return path


def _plant_between_pictures(path: Path) -> None:
    """Put a place where the encoder wrote what it is, in a message between the pictures."""
    for text in (b"H.264/MPEG-4 AVC codec", b"H.265/HEVC codec"):
        path.write_bytes(path.read_bytes().replace(text, BETWEEN.encode().ljust(len(text))))


def box(kind: bytes, content: bytes) -> bytes:
    """A box of an MP4 file."""
    return struct.pack(">I4s", 8 + len(content), kind) + content


def spoken() -> av.AudioFrame:
    """Sound whose bytes can be searched for."""
    samples = np.frombuffer((VOICE * 200).encode(), dtype=np.int16)[None]
    frame = av.AudioFrame.from_ndarray(samples, format="s16", layout="mono")
    frame.rate, frame.pts, frame.time_base = 8000, 0, Fraction(1, 8000)
    return frame


def found_in(path: Path, words: tuple[str, ...] = PLANTED) -> set[str]:
    """Which of the words the file's bytes hold, as phones write text: UTF-8 or UTF-16."""
    content = path.read_bytes()
    return {word for word in words if any(word.encode(code) in content for code in ("utf-8", "utf-16-le", "utf-16-be"))}
