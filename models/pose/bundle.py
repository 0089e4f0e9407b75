"""Two bare TFLite models out of a MediaPipe wheel -> the task bundle that MediaPipe's pose landmarker reads.

A task bundle is an uncompressed zip of `pose_detector.tflite` and `pose_landmarks_detector.tflite`. Each model must
say in its TFLite metadata how its input picture is normalised. The detector of the wheel does (mean 127.5, deviation
127.5); the landmark model does not, so that is added here (mean 0, deviation 255: the model was trained on 0..1).
"""

import hashlib
import io
import zipfile
from pathlib import Path

from models.errors import WeightsError
from models.pose.system import require_system_libraries

DETECTOR = "pose_detector.tflite"
LANDMARKS = "pose_landmarks_detector.tflite"

# Name in the bundle -> (name in the wheel, sha256 of the model).
_IN_WHEEL = {
    DETECTOR: (
        "mediapipe/modules/pose_detection/pose_detection.tflite",
        "9ba9dd3d42efaaba86b4ff0122b06f29c4122e756b329d89dca1e297fd8f866c",
    ),
    LANDMARKS: (
        "mediapipe/modules/pose_landmark/pose_landmark_full.tflite",
        "e9a5c5cb17f736fafd4c2ec1da3b3d331d6edbe8a0d32395855aeb2cdfd64b9f",
    ),
}

# The oldest date that a zip can hold: the same models must give the same bytes, whenever they are packed.
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)


def bundle_from_wheel(wheel: Path) -> bytes:
    """Task bundle made from the models in a wheel of mediapipe 0.10.21.

    Raises:
        WeightsError: The file is no such wheel, or a model in it is not the one whose checksum is known.
    """
    models = {name: _model_in(wheel, member, sha256) for name, (member, sha256) in _IN_WHEEL.items()}
    models[LANDMARKS] = _with_input_scale(models[LANDMARKS], mean=0.0, deviation=255.0)
    return _packed(models)


def is_bundle(path: Path) -> bool:
    """Whether the file is a zip that holds both models of a pose task bundle."""
    try:
        with zipfile.ZipFile(path) as archive:
            return {DETECTOR, LANDMARKS} <= set(archive.namelist())
    except (OSError, zipfile.BadZipFile):
        return False


def _model_in(wheel: Path, member: str, sha256: str) -> bytes:
    try:
        with zipfile.ZipFile(wheel) as archive:
            model = archive.read(member)
    except (OSError, KeyError, zipfile.BadZipFile):
        raise WeightsError(f"{wheel} does not hold {member}: give a wheel file of mediapipe 0.10.21") from None
    if hashlib.sha256(model).hexdigest() != sha256:
        raise WeightsError(f"{member} in {wheel} is not the model expected: give an intact wheel of mediapipe 0.10.21")
    return model


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
