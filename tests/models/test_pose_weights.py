"""Where the landmark weights come from. One test fetches them for real; the others take them from the user's cache."""

import io
import subprocess
import sys
import tarfile
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import mediapipe
import numpy as np
import pytest
from mediapipe.tasks.metadata import metadata_schema_py_generated, schema_py_generated
from mediapipe.tasks.python import BaseOptions, vision

from models.errors import BadInput, WeightsError
from models.pose import landmark_model_sha256, require_system_libraries, weights_path
from models.pose.bundle import DETECTOR, LANDMARKS, LARGER, bundle_from_package, larger_bundle
from models.pose.weights import _keep

# The bundle as models/pose/README.md states it.
BUNDLE_SHA256 = "d5047b6923b3a6683511f5554cf94201383bc434b3e1f00055601babbd88adda"


@pytest.fixture
def empty_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Cache folder of a user who never ran the program."""
    monkeypatch.delenv("PLUMBREP_WEIGHTS", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "plumbrep"


@pytest.fixture
def no_registry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An npm that reaches no registry, whatever this machine's configuration says."""
    monkeypatch.setenv("npm_config_registry", "http://127.0.0.1:9/")
    monkeypatch.setenv("npm_config_fetch_retries", "0")
    monkeypatch.setenv("npm_config_cache", str(tmp_path / "npm"))


def _bundle(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return path


def _package(path: Path, members: dict[str, bytes]) -> Path:
    with tarfile.open(path, "w:gz") as archive:
        for name, content in members.items():
            entry = tarfile.TarInfo(name)
            entry.size = len(content)
            archive.addfile(entry, io.BytesIO(content))
    return path


def test_two_processes_fetch_at_once_over_a_damaged_file(empty_cache: Path) -> None:
    empty_cache.mkdir(parents=True)
    bundle = empty_cache / "pose_landmarkers.task"
    bundle.write_bytes(b"half a download")
    command = [sys.executable, "-c", "from models.pose import weights_path; print(weights_path())"]
    with ThreadPoolExecutor() as pool:
        runs = list(pool.map(lambda _: subprocess.run(command, capture_output=True, text=True, check=False), range(2)))
    assert [(run.returncode, run.stdout.strip()) for run in runs] == [(0, str(bundle))] * 2, runs
    assert landmark_model_sha256(bundle) == BUNDLE_SHA256
    assert list(empty_cache.iterdir()) == [bundle]


def test_bundle_holds_all_models_uncompressed() -> None:
    with zipfile.ZipFile(weights_path()) as archive:
        entries = archive.infolist()
    assert [entry.filename for entry in entries] == [DETECTOR, LANDMARKS, LARGER]
    assert {entry.compress_type for entry in entries} == {zipfile.ZIP_STORED}


@pytest.mark.parametrize(
    ("model", "mean", "deviation"), [(DETECTOR, 127.5, 127.5), (LANDMARKS, 0.0, 255.0), (LARGER, 0.0, 255.0)]
)
def test_models_state_their_input_normalisation(model: str, mean: float, deviation: float) -> None:
    with zipfile.ZipFile(weights_path()) as archive:
        parsed = schema_py_generated.ModelT.InitFromPackedBuf(archive.read(model), 0)
    [entry] = [entry for entry in parsed.metadata if entry.name == b"TFLITE_METADATA"]
    data = bytes(parsed.buffers[entry.buffer].data)
    metadata = metadata_schema_py_generated.ModelMetadataT.InitFromPackedBuf(data, 0)
    [graph] = metadata.subgraphMetadata
    [picture] = graph.inputTensorMetadata
    [unit] = picture.processUnits
    assert (list(unit.options.mean), list(unit.options.std)) == ([mean], [deviation])
    assert len(graph.outputTensorMetadata) == len(parsed.subgraphs[0].outputs)


@pytest.mark.parametrize("mode", [vision.RunningMode.IMAGE, vision.RunningMode.VIDEO])
def test_landmarker_runs_with_the_bundle(mode: vision.RunningMode) -> None:
    options = vision.PoseLandmarkerOptions(
        base_options=BaseOptions(model_asset_path=str(weights_path())), running_mode=mode
    )
    grey = mediapipe.Image(image_format=mediapipe.ImageFormat.SRGB, data=np.full((240, 320, 3), 128, np.uint8))
    with vision.PoseLandmarker.create_from_options(options) as landmarker:
        still = mode == vision.RunningMode.IMAGE
        found = landmarker.detect(grey) if still else landmarker.detect_for_video(grey, 0)
    assert found.pose_landmarks == []  # nobody is there


@pytest.mark.usefixtures("no_registry")
def test_good_cache_needs_no_registry() -> None:
    assert landmark_model_sha256(weights_path()) == BUNDLE_SHA256


@pytest.mark.usefixtures("no_registry")
def test_no_registry_is_said_in_one_line_with_the_way_out(empty_cache: Path) -> None:
    with pytest.raises(WeightsError) as caught:
        weights_path()
    message = str(caught.value)
    assert "\n" not in message
    assert "connect ECONNREFUSED 127.0.0.1:9" in message
    assert "npm pack @mediapipe/pose@0.5.1675469404" in message
    assert "PLUMBREP_WEIGHTS" in message
    assert not empty_cache.exists()


def test_cache_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file where the folder should be")
    with pytest.raises(WeightsError, match=r"cannot be kept in .*cache/plumbrep .*XDG_CACHE_HOME"):
        _keep(tmp_path / "cache" / "plumbrep" / "pose.task", weights_path().read_bytes())


def test_bundle_that_came_out_otherwise_is_not_kept(tmp_path: Path) -> None:
    with pytest.raises(WeightsError, match="not the one expected"):
        _keep(tmp_path / "pose.task", weights_path().read_bytes() + b"x")
    assert not list(tmp_path.iterdir())


def test_bundle_given_by_hand_is_used_as_it_is(
    tmp_path: Path, empty_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = _bundle(tmp_path / "lite.task", {DETECTOR: b"d", LANDMARKS: b"l"})
    assert weights_path(other) == other
    monkeypatch.setenv("PLUMBREP_WEIGHTS", str(other))
    assert weights_path() == other
    assert not empty_cache.exists()


@pytest.mark.parametrize("content", [b"no zip at all", None])
def test_file_given_by_hand_that_is_no_bundle(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "weights.task"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(WeightsError, match=r"weights\.task is not a pose task bundle: give"):
        weights_path(path)


def test_larger_model_is_given_as_a_bundle_of_its_own() -> None:
    with (
        zipfile.ZipFile(weights_path()) as ours,
        zipfile.ZipFile(io.BytesIO(larger_bundle(weights_path()) or b"")) as own,
    ):
        assert own.namelist() == [DETECTOR, LANDMARKS]
        assert own.read(DETECTOR) == ours.read(DETECTOR)
        assert own.read(LANDMARKS) == ours.read(LARGER)


def test_bundle_given_by_hand_holds_no_larger_model(tmp_path: Path) -> None:
    assert larger_bundle(_bundle(tmp_path / "lite.task", {DETECTOR: b"d", LANDMARKS: b"l"})) is None


def test_zip_without_the_landmark_model_is_no_bundle(tmp_path: Path) -> None:
    with pytest.raises(WeightsError, match="is not a pose task bundle"):
        weights_path(_bundle(tmp_path / "half.task", {DETECTOR: b"d"}))


def test_package_of_something_else(tmp_path: Path, empty_cache: Path) -> None:
    with pytest.raises(WeightsError, match=r"does not hold package/.*: give the package @mediapipe/pose@"):
        weights_path(_package(tmp_path / "other-1.0.0.tgz", {"package/index.js": b""}))
    assert not empty_cache.exists()


@pytest.mark.parametrize("content", [b"", b"no archive at all"])
def test_package_that_is_no_archive(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "pose.tgz"
    path.write_bytes(content)
    with pytest.raises(WeightsError, match=r"pose\.tgz does not hold package/"):
        weights_path(path)


def test_package_with_a_changed_model(tmp_path: Path, empty_cache: Path) -> None:
    members = ("pose_solution_packed_assets.data", "pose_landmark_heavy.tflite")
    package = _package(tmp_path / "pose.tgz", {f"package/{name}": b"tampered" for name in members})
    with pytest.raises(WeightsError, match=r"pose_solution_packed_assets\.data in .* is not the model expected"):
        bundle_from_package(package)
    with pytest.raises(WeightsError, match="is not the model expected"):
        weights_path(package)
    assert not empty_cache.exists()


def test_checksum_of_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(WeightsError, match=r"gone\.task cannot be read"):
        landmark_model_sha256(tmp_path / "gone.task")


def test_run_as_a_command_it_prints_the_path_or_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    command = [sys.executable, "-m", "models.pose"]
    good = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (good.returncode, good.stdout) == (0, f"{weights_path()}\n")
    monkeypatch.setenv("PLUMBREP_WEIGHTS", str(tmp_path / "gone.task"))
    bad = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (bad.returncode, bad.stdout, bad.stderr.count("\n")) == (2, "", 1)
    assert "gone.task is not a pose task bundle" in bad.stderr


def test_system_libraries_are_there() -> None:
    require_system_libraries()


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere the wheels need no system libraries")
def test_missing_system_libraries_are_named_with_their_packages() -> None:
    libraries = {"libc.so.6": "libc6", "libnothere.so.1": "libnothere1", "libnorthis.so.2": "libnorthis2"}
    with pytest.raises(BadInput) as caught:
        require_system_libraries(libraries)
    assert str(caught.value) == (
        "the system libraries libnothere.so.1, libnorthis.so.2 are missing: "
        "install them (Debian, Ubuntu: apt-get install libnothere1 libnorthis2)"
    )
