"""What a clip is made from: frozen typed values, complete enough to draw it again.

Lengths in metres, angles in degrees, times in seconds unless a name says otherwise. Colours are sRGB in 0..1.
"""

from typing import Annotated, Literal

from pydantic import Field

from models.quantity import Frozen

Colour = tuple[float, float, float]
Share = Annotated[float, Field(ge=0, le=1)]
Profile = Literal["even", "smooth", "stops", "drop", "creep"]


class Person(Frozen):
    """A body. `gender` 0 male, 1 female; `age` 0.67 is a young adult, 1 an old one (anny's phenotype values)."""

    height_cm: float
    gender: Share = 0.0
    age: Share = 0.67
    muscle: Share = 0.65
    weight: Share = 0.5
    proportions: Share = 0.6
    skin: Colour = (0.78, 0.58, 0.47)
    hair: Literal["short", "long", "bald"] = "short"
    hair_colour: Colour = (0.16, 0.11, 0.08)


class Clothes(Frozen):
    """What the person wears. Lengths of sleeves and legs are shares of the limb."""

    top: Literal["bare", "tank", "tee", "long"] = "tee"
    top_colour: Colour = (0.25, 0.35, 0.55)
    bottom: Literal["shorts", "tights", "trousers"] = "shorts"
    bottom_colour: Colour = (0.12, 0.12, 0.14)
    pattern: Literal["plain", "melange", "stripes", "print"] = "melange"
    shoes: bool = True
    shoe_colour: Colour = (0.85, 0.85, 0.82)


class Room(Frozen):
    """Floor, walls and what stands about. Textures are drawn from the recipe's seed."""

    floor: Literal["planks", "mats", "concrete", "carpet", "grass"] = "planks"
    floor_colour: Colour = (0.62, 0.45, 0.30)
    wall: Literal["plaster", "brick", "panels", "hedge"] = "plaster"
    wall_colour: Colour = (0.80, 0.78, 0.72)
    wall_distance: float = 2.4
    edges: bool = True
    clutter: Annotated[int, Field(ge=0, le=12)] = 4
    second_person: bool = False
    occluder: Literal["none", "post", "box", "rail"] = "none"
    occluder_at: float = 0.25
    """Metres along the floor from the middle of the athlete."""


class Light(Frozen):
    """One lamp with a soft shadow, light from all around, and the sensor that sees it."""

    azimuth: float = -40.0
    elevation: float = 55.0
    strength: float = 1.0
    ambient: float = 0.75
    warmth: Annotated[float, Field(ge=-1, le=1)] = 0.1
    exposure: float = 1.0
    noise: float = 0.012
    blur_px: float = 0.7


class Phone(Frozen):
    """How the phone stood and what it recorded.

    `yaw` moves the phone round the athlete, positive toward the right of the picture; `pitch` is positive when it
    looks up; `roll` is positive when the phone is turned clockwise as its user sees it. `view` is the angle of view
    along the longer side of the picture. Without `distance` or `pitch` the athlete fills `fill` of the picture and
    stands in its middle. `aim` shifts what the phone looks at along the floor, in metres. With `cut` that share of the
    athlete lies beyond the picture's edge `cut_edge`.

    A `stabilised` video is steadier than the phone (`steady`), or always level whatever the phone's roll (`horizon`).
    With `sensor` the phone's own roll and pitch are recorded beside the clip.
    """

    width: int = 1280
    height: int = 720
    rate: float = 30.0
    view: float = 66.0
    distance: float | None = None
    fill: float = 0.8
    lens_height: float = 0.8
    yaw: float = 0.0
    pitch: float | None = None
    roll: float = 0.0
    aim: float = 0.0
    shake_deg: float = 0.0
    shake_m: float = 0.0
    cut: Share = 0.0
    cut_edge: Literal["left", "right", "top", "bottom"] = "bottom"
    stabilised: Literal["none", "steady", "horizon"] = "none"
    sensor: bool = False
    variable_rate: bool = False
    codec: Literal["h264", "hevc10"] = "h264"
    rotation: Literal[0, 90, 180, 270] = 0
    crf: int = 24
    bit_rate: int | None = None


class Rep(Frozen):
    """One rep as it is meant: seconds of both strokes and pauses, how deep, and how the speed runs.

    `depth` is the share of the movement's range in the bent position, `straight` the share left at the other end.
    `stops` of the lowering: where (share of its time) and how long it stands. `creep` is how much depth the first
    pause creeps. With `turns_back_at` the rep is a raise that gets only that deep and turns back.
    """

    lowering: float = 3.0
    bottom: float = 0.8
    raising: float = 1.2
    top: float = 0.8
    depth: float = 1.0
    straight: float = 0.0
    profile: Profile = "even"
    raising_profile: Profile = "smooth"
    ramp: float = 0.2
    stops: tuple[tuple[float, float], ...] = ()
    creep: float = 0.0
    turns_back_at: float | None = None


class Exercise(Frozen):
    """What is done and where the hands and feet are. `place` holds the movement's own measures in metres, degrees.

    `band` goes from above to the feet, knees or waist; a `partner` has the hands at the waist or ankles. `asymmetry` is
    the twist of the trunk where the effort is, degrees; `swing` that of rings about where they hang.
    """

    movement: str
    variant: str = ""
    lowering_only: bool = False
    straight: float = 8.0
    bent: float = 90.0
    flare: float = 25.0
    sag: float = 2.0
    asymmetry: float = 0.0
    swing: float = 0.0
    band: Literal["none", "feet", "knees", "waist"] = "none"
    partner: Literal["none", "waist", "ankles"] = "none"
    place: dict[str, float] = Field(default_factory=dict)
    reps: tuple[Rep, ...] = ()
    hold: float | None = None
    drift: float = 0.0
    lead_in: float = 1.5
    lead_out: float = 1.0
    set_up: Literal["none", "settle", "step"] = "settle"
    step_off: Literal["none", "settle", "step"] = "settle"
    start_cut: float = 0.0
    end_cut: float = 0.0


class Sway(Frozen):
    """Small unsteadiness of a living body: RMS of the body's shift in mm, of its angles in degrees."""

    shift_mm: float = 3.0
    angle: float = 0.4
    wobble: float = 0.0


class Recipe(Frozen):
    """One clip."""

    name: str
    seed: int
    exercise: Exercise
    person: Person
    clothes: Clothes = Clothes()
    room: Room = Room()
    light: Light = Light()
    phone: Phone = Phone()
    sway: Sway = Sway()
    facing: Literal["left", "right"] = "right"
