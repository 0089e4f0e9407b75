import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from models.document import Document, Posture, json_schema
from models.prescription import parse_prescription
from models.quantity import Measured, Unmeasured
from models.verdict import judge
from tests.models.samples import NONE, deg, document, hold, one_set, posture, q, rep

SCHEMA_FILE = Path(__file__).parents[2] / "docs" / "measurement.schema.json"
RENEW = 'python -c "import json; from models.document import *; print(json.dumps(json_schema(), indent=2))"'

# The shapes of the document, version 1, as they are described to its readers.
TOP = {"document", "movement", "made_by", "clip", "camera", "sets", "not_measured", "notes"}
CLIP = "sha256 seconds frames width height rate_mean rate_varies rotation codec time_scale"
CAMERA = "roll pitch yaw level_from shake metres_per_pixel"
REP = "n status start end lowering raising top_pause bottom_pause straight bent worst standards"
STROKE = "start end duration thirds stops swing"
HOLD = "n start end still drift posture sway"
SWAY = "along_floor vertical path speed ellipse"
SET = "n start end near_side reps holds summary"
ANGLES = "trunk legs shoulder elbow hip knee"
CHECK = "name measured low high p verdict why"


def reps_document() -> Document:
    whole = rep(1, lowering=q(5), bottom=q(1), raising=q(1), top=NONE, bent=posture(elbow=deg(90)))
    return document("push-up", one_set([whole, rep(2, status="cut_off")]))


def hold_document() -> Document:
    return document("handstand", one_set(holds=[hold(q(11), posture(lean=deg(1)), sway=q(4, 1, "mm"))]))


def dump(each: Document) -> dict[str, Any]:
    return each.model_dump(mode="json")


def keys(value: dict[str, Any]) -> set[str]:
    return set(value)


def checked(each: Document) -> Document:
    text = 'movement = "handstand"\nhold = 10' if each.movement == "handstand" else 'movement = "push-up"\nreps = 1'
    return judge(each, parse_prescription(text.encode(), "plan.toml"))


ALL = [reps_document(), hold_document(), checked(reps_document()), checked(hold_document())]


def test_the_committed_schema_is_current() -> None:
    assert json.loads(SCHEMA_FILE.read_text(encoding="utf-8")) == json_schema(), f"{RENEW} > {SCHEMA_FILE}"


def test_the_schema_is_a_json_schema() -> None:
    Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("each", ALL)
def test_what_is_written_fits_the_schema(each: Document) -> None:
    Draft202012Validator(json_schema()).validate(dump(each))


@pytest.mark.parametrize("each", ALL)
def test_what_is_written_is_read_back_the_same(each: Document) -> None:
    assert Document.model_validate_json(each.model_dump_json()) == each


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("document",), "plumbrep.measurement/2"),
        (("sets", 0, "near_side"), "top"),
        (("sets", 0, "reps", 0, "status"), "half"),
        (("sets", 0, "reps", 0, "lowering", "thirds"), [0.5, 0.5]),
        (("sets", 0, "reps", 0, "bent", "elbow"), 90),
        (("sets", 0, "reps", 0, "bent", "elbow"), {"value": None}),
        (("sets", 0, "reps", 0, "bent", "elbow"), {"value": 90, "U95": 2, "unit": "degrees"}),
        (("sets", 0, "reps", 0, "bent", "elbow"), {"value": 90, "U95": -2, "unit": "deg"}),
        (("camera", "level_from"), "guess"),
    ],
)
def test_the_schema_and_the_reader_refuse_the_same(path: tuple[str | int, ...], value: object) -> None:
    written = dump(reps_document())
    at: Any = written
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    assert not Draft202012Validator(json_schema()).is_valid(written)
    with pytest.raises(ValidationError):
        Document.model_validate(written)


def test_a_measurement_has_exactly_its_keys() -> None:
    written = dump(reps_document())
    (each,) = written["sets"]
    whole = each["reps"][0]
    assert keys(written) == TOP
    assert keys(written["made_by"]) == {"program", "landmark_model", "settings"}
    assert keys(written["clip"]) == set(CLIP.split())
    assert keys(written["camera"]) == set(CAMERA.split())
    assert keys(each) == set(SET.split())
    assert keys(whole) == set(REP.split())
    assert keys(whole["lowering"]) == set(STROKE.split())
    assert keys(whole["bent"]) == {"body", *ANGLES.split()}
    assert keys(whole["worst"]) == {"hip", "hip_at", "deviation"}
    assert each["reps"][1]["raising"] is None


def test_a_hold_has_exactly_its_keys_and_a_lean_instead_of_a_body_angle() -> None:
    (held,) = dump(hold_document())["sets"][0]["holds"]
    assert keys(held) == set(HOLD.split())
    assert keys(held["posture"]) == {"lean", *ANGLES.split()}
    assert keys(held["sway"]) == set(SWAY.split())


@pytest.mark.parametrize("each", [reps_document(), hold_document()])
def test_a_check_adds_checks_and_verdicts_and_nothing_else(each: Document) -> None:
    before, after = dump(each)["sets"][0], dump(checked(each))["sets"][0]
    assert keys(after) - keys(before) == {"checks", "verdict"}
    for old, new in zip(before["reps"] + before["holds"], after["reps"] + after["holds"], strict=True):
        assert keys(new) - keys(old) == {"checks", "verdict"}
        assert all(keys(check) == set(CHECK.split()) for check in new["checks"])
        assert {name: new[name] for name in old} == old
    assert all(keys(check) == set(CHECK.split()) for check in after["checks"])


def test_a_quantity_is_a_value_or_a_reason() -> None:
    assert deg(90).model_dump() == {"value": 90.0, "U95": 2.0, "unit": "deg"}
    assert NONE.model_dump() == {"value": None, "reason": "not part of this test"}
    with pytest.raises(ValidationError):
        Unmeasured(reason="")
    with pytest.raises(ValidationError):
        Measured(value=float("nan"), U95=1, unit="deg")


def test_fields_of_a_later_version_are_passed_over() -> None:
    written = dump(reps_document())
    written["weather"] = "fine"
    written["sets"][0]["reps"][0]["bent"]["wrist"] = {"value": 1, "U95": 1, "unit": "deg"}
    written["sets"][0]["reps"][0]["bent"]["elbow"]["source"] = "later"
    assert Document.model_validate(written) == reps_document()
    Draft202012Validator(json_schema()).validate(written)


def test_a_posture_has_one_tilt() -> None:
    angles = dict.fromkeys(ANGLES.split(), NONE)
    for tilts in ({}, {"body": NONE, "lean": NONE}):
        with pytest.raises(ValidationError, match="body or lean"):
            Posture.model_validate(angles | tilts)
