"""What coaches decided of a clip, as it is read out of the records."""

from sqlalchemy import event, select

from service.pages.athlete.decided import decided
from service.records import Effort
from tests.service.api.world import World


def test_all_that_was_decided_of_a_clip_is_read_at_once(world: World) -> None:
    clip = world.measured(world.home.athlete)
    coach = world.client(world.home.coach)
    asked: list[str] = []
    with world.parts.database.session() as records:
        first, second, third = records.scalars(select(Effort.id).where(Effort.clip_id == clip.id).order_by(Effort.n))
    for effort, end in ((first, 4.2), (second, 8.7), (second, 8.5)):
        moved = {"lowering.end": end, "raising.start": end + 0.5}
        assert coach.post(f"/api/v1/efforts/{effort}/corrections", json={"boundaries": moved}).status_code == 201
    place = f"/api/v1/clips/{clip.id}/rulings"
    assert coach.post(place, json={"ruling": "not a rep", "effort": third}).status_code == 201
    assert coach.post(place, json={"ruling": "missing rep", "start": 1.0, "end": 3.0}).status_code == 201

    engine = world.parts.database.engine
    with world.parts.database.session() as records:
        event.listen(engine, "before_cursor_execute", lambda *told: asked.append(told[2]))
        found = decided(records, clip.id)
    assert len(asked) == 2, "one of reps and holds, one of the clip"
    ends = {place: each.boundaries.get("lowering.end") for place, each in found.efforts.items()}
    assert ends == {(1, "rep", 1): 4.2, (1, "rep", 2): 8.5, (1, "rep", 3): None}
    assert found.efforts[1, "rep", 2].measured.keys() == {"lowering", "bottom_pause", "raising"}
    assert [each.ruling for each in found.efforts.values()].count("not a rep") == 1
    assert (found.missing, found.again) == (((1.0, 3.0),), False)
