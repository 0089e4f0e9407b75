"""Open and check a clip; its frames with their true times, upright, at the size asked for."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import av
import numpy as np
from av.video.reformatter import Colorspace, Interpolation, VideoReformatter
from numpy.typing import NDArray

from models.document import ClipFacts
from models.errors import ClipError
from vision import boxes, timing
from vision.ahead import ahead
from vision.movie import Movie, decode, read_movie
from vision.slow_motion import Pace, pace, read_trailer
from vision.tonemap import is_hdr, to_sdr
from vision.upright import Picture, Turn, turn_of

SHORTEST: Final = 1.0
"""Seconds. The shortest hold is 1 s, and few whole reps are faster."""
LONGEST: Final = 30 * 60.0
"""Seconds. A clip holds a set or a few; a longer one is a whole session, and would take hours to measure."""
SLOWEST: Final = 4.0
"""Frames per second. With fewer, a stroke of a second has too few frames inside it to tell its start from its end."""
SMALLEST: Final = 96
"""Pixels of the shorter side. In a smaller picture a forearm is a few pixels long."""
GAP: Final = 0.25
"""Seconds without a frame that are worth telling."""

_HD: Final = 720
"""Lines from which an untagged picture is taken as BT.709, below as BT.601 (common practice, no source)."""
_UNTAGGED: Final = 2
"""The value of `colorspace` that says nothing (ISO/IEC 23091-2)."""


@dataclass(frozen=True, eq=False)
class Frame:
    """One frame as a viewer sees it."""

    index: int
    time: float
    """Seconds of real time since the first frame."""
    image: Picture
    """(H, W, 3) RGB, 8 bits."""


@dataclass(frozen=True, eq=False)
class Clip:
    """A clip that can be measured."""

    path: Path
    facts: ClipFacts
    """Width and height are of the upright picture with square pixels."""
    times: NDArray[np.float64]
    """(N,) seconds of real time, strictly increasing from 0."""
    notes: tuple[str, ...]
    """What a reader of the measurement should know about the clip."""
    movie: Movie
    turn: Turn

    def frames(self, max_side: int | None = None, *, apart: float = 0.0) -> Iterator[Frame]:
        """Frames in order, each at least `apart` seconds after the one before; every one when not told.

        Their longer side is at most `max_side` pixels (averaged over area, never enlarged).

        Raises ClipError at the first frame that cannot be decoded; what was yielded before it is sound.
        """
        return ahead(self._frames(max_side, apart))

    def _frames(self, max_side: int | None, apart: float) -> Iterator[Frame]:
        size = self.turn.size(*_fit(self.facts.width, self.facts.height, max_side))
        painter, due = VideoReformatter(), 0.0
        for index, picture in enumerate(self._pictures()):
            time = float(self.times[index])
            if time >= due:
                due = time + apart
                yield Frame(index, time, self.turn.apply(_paint(painter, picture, size)))

    def _pictures(self) -> Iterator[av.VideoFrame]:
        """The decoded pictures, one for each of `times`."""
        stamps, index = self.movie.stamps, 0
        try:
            for picture in decode(self.path, self.movie.track):
                if index == len(stamps) or picture.pts is None or picture.pts < stamps[index]:
                    continue
                if picture.pts > stamps[index] or picture.is_corrupt:
                    break
                yield picture
                index += 1
        except av.FFmpegError as error:
            raise self._damaged(index) from error
        if index < len(stamps):
            raise self._damaged(index)

    def _damaged(self, index: int) -> ClipError:
        at = self.times[min(index, len(self.times) - 1)]
        return ClipError(
            f"The clip's picture is damaged at {at:.1f} s; copy it from the phone again, or cut that part off."
        )


def open_clip(path: Path, shortest: float = SHORTEST) -> Clip:
    """Open a clip and check that it can be measured.

    Raises ClipError when it is not a whole clip of moving pictures, when its times are not real ones and cannot be made
    so, or when it is shorter than `shortest` seconds, too slow, too long, too small or too large.
    """
    movie = read_movie(Path(path))
    turn = turn_of(movie.first)
    if turn is None:
        raise ClipError("The clip is turned by no right angle; save it upright and give it again.")
    speed = _pace(movie)
    times = (movie.stamps - movie.stamps[0]) * movie.time_base * speed.scale
    width, height = turn.size(*_square(movie))
    facts = ClipFacts(
        sha256=_sha256(movie.path),
        seconds=float(times[-1] + np.median(np.diff(times))),
        frames=len(times),
        width=width,
        height=height,
        rate_mean=timing.rate_mean(times),
        rate_varies=timing.rate_varies(times),
        rotation=turn.degrees,
        codec=movie.codec,
        time_scale=speed.scale,
    )
    _check_limits(facts, shortest)
    return Clip(movie.path, facts, times, _notes(movie, times, speed), movie, turn)


def _pace(movie: Movie) -> Pace:
    seconds = (movie.stamps - movie.stamps[0]) * movie.time_base
    edits = [edit for track in _edits(movie) for edit in track]
    return pace(seconds, movie.metadata, edits, read_trailer(movie.path))


def _edits(movie: Movie) -> tuple[tuple[boxes.Edit, ...], ...]:
    return boxes.video_edits(movie.path) if boxes.is_mp4(movie.path) else ()


def _check_limits(facts: ClipFacts, shortest: float) -> None:
    if round(facts.seconds, 3) < shortest:
        raise ClipError(f"The clip shows {facts.seconds:.1f} s of real time; film for at least {shortest:g} s.")
    if facts.seconds > LONGEST:
        raise ClipError(
            f"The clip lasts {facts.seconds / 60:.0f} minutes; cut it to one set, at most {LONGEST / 60:g} minutes."
        )
    if facts.rate_mean < SLOWEST:
        raise ClipError(f"The clip has {facts.rate_mean:.2g} frames/s; film with at least {SLOWEST:g}, better 30.")
    if min(facts.width, facts.height) < SMALLEST:
        size = f"{facts.width} x {facts.height}"
        raise ClipError(f"The picture is {size} pixels; film with at least {SMALLEST} on the shorter side, better 720.")


def _notes(movie: Movie, times: NDArray[np.float64], speed: Pace) -> tuple[str, ...]:
    notes = [speed.note] if speed.note else []
    if movie.tracks > 1:
        notes.append(f"The file holds {movie.tracks} moving pictures; the one with the most frames was measured.")
    pieces = max((sum(not edit.empty for edit in track) for track in _edits(movie)), default=1)
    if pieces > 1:
        notes.append(f"The clip is put together from {pieces} pieces; what lies across a join is not real time.")
    if movie.hidden:
        notes.append(
            f"Left out, being stamped no later than the frame before: {movie.hidden} of {len(times) + movie.hidden} frames."
        )
    at, gap = timing.longest_gap(times)
    if gap > GAP and gap > 2 * np.median(np.diff(times)):
        notes.append(f"No frame for {gap:.2f} s at {at:.1f} s.")
    return tuple(notes)


def _square(movie: Movie) -> tuple[int, int]:
    """Stored width and height once its pixels are made square, no side made shorter."""
    width, height = movie.first.width, movie.first.height
    if movie.aspect >= 1:
        return round(width * movie.aspect), height
    return width, round(height / movie.aspect)


def _fit(width: int, height: int, max_side: int | None) -> tuple[int, int]:
    scale = 1.0 if max_side is None else min(1.0, max_side / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


def _paint(painter: VideoReformatter, picture: av.VideoFrame, size: tuple[int, int]) -> Picture:
    """The picture (H, W, 3) in 8-bit sRGB at `size` (width, height), as stored: scaling and colours in one pass."""
    untagged_hd = picture.colorspace == _UNTAGGED and min(picture.width, picture.height) >= _HD
    hdr = is_hdr(picture.color_trc)
    scaled = painter.reformat(
        picture,
        *size,
        format="rgb48le" if hdr else "rgb24",
        src_colorspace=Colorspace.ITU709 if untagged_hd else None,
        interpolation=Interpolation.AREA,
    )
    if hdr:
        return to_sdr(np.asarray(scaled.to_ndarray(), dtype=np.uint16), picture.color_trc)
    return np.asarray(scaled.to_ndarray(), dtype=np.uint8)


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
