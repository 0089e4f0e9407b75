"""Pictures of bodies in a room, by OpenGL on an off-screen surface (Mesa's software renderer will do)."""

from collections.abc import Sequence

import cv2
import moderngl
import numpy as np
from numpy.typing import NDArray

from sample_clips import shaders
from sample_clips.camera import Camera
from sample_clips.recipe import Light, Recipe
from sample_clips.skin import Actor, Skin
from sample_clips.solids import Triangles
from sample_clips.textures import noise_block, tiles

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]
NEAR, FAR = 0.05, 30.0
SHADOW = 1024
SHADOW_HALF = 2.2
LAYOUT = ("3f 3f 2f 1f 3f", "position", "normal", "place", "layer", "colour")


class Renderer:
    """Draws frames of one recipe. Call `frame` once per frame in order: sensor noise is drawn along."""

    def __init__(self, recipe: Recipe, scene: tuple[Triangles, Triangles], actors: list[Actor], focus: Array) -> None:
        self.recipe, self.phone = recipe, recipe.phone
        size = (self.phone.width, self.phone.height)
        self.context = moderngl.create_context(standalone=True, backend="egl")
        self.context.enable(moderngl.DEPTH_TEST)
        self.still_program = self.context.program(shaders.STILL_VERTEX, shaders.STILL_PIXEL)
        self.body_program = self.context.program(shaders.BODY_VERTEX, shaders.BODY_PIXEL)
        self.depth_program = self.context.program(shaders.DEPTH_VERTEX, shaders.DEPTH_PIXEL)
        self._textures(recipe.seed)
        buffer = self.context.buffer(np.concatenate(scene).tobytes())
        self.room = self.context.vertex_array(self.still_program, [(buffer, *LAYOUT)])
        self.things = self.context.vertex_array(self.depth_program, [(buffer, "3f 36x", "position")])
        self.gear: moderngl.Buffer | None = None
        self.first_thing, self.things_count = len(scene[0]), len(scene[1])
        self.skins = [Skin(self.context, self.body_program, self.depth_program, actor) for actor in actors]
        samples = min(4, self.context.max_samples)
        colour, depth = (
            self.context.renderbuffer(size, 4, samples=samples),
            self.context.depth_renderbuffer(size, samples=samples),
        )
        self.drawn = self.context.framebuffer([colour], depth)
        self.read = self.context.framebuffer([self.context.renderbuffer(size, 4)])
        self._light(recipe.light, focus)
        self.sensor = np.random.default_rng([recipe.seed, 23])
        shape = (self.phone.height + 64, self.phone.width + 64, 3)
        self.grain = self.sensor.standard_normal(shape).astype(np.float32) * 0.85
        self.grain += self.sensor.standard_normal((*shape[:2], 1)).astype(np.float32) * 0.5

    def frame(self, skins: Sequence[Array], moving: Triangles, camera: Camera, index: int) -> Picture:
        """The picture (H, W, 3) that the phone takes at frame `index` of these skins and moving things, world axes."""
        gear = self._moving(moving)
        for skin, vertices in zip(self.skins, skins, strict=True):
            skin.move(vertices)
        self._cast_shadows(gear)
        self.drawn.use()
        self.drawn.clear(0.75, 0.82, 0.90)
        self.shadow.use(0)
        self.tiles.use(1)
        self.noise.use(2)
        view = tuple(_view(camera, index).T.ravel())
        for program in (self.still_program, self.body_program):
            program["view"].value = view
        self.room.render()
        if gear:
            gear[0].render()
        for skin in self.skins:
            skin.dress()
            skin.mesh.render()
        self.context.copy_framebuffer(self.read, self.drawn)
        raw = np.frombuffer(self.read.read(components=3), np.uint8)
        return self._expose(raw.reshape(self.phone.height, self.phone.width, 3)[::-1])

    def _expose(self, linear: Picture) -> Picture:
        """The sensor: blur, noise that grows with light, and the tone curve."""
        light = self.recipe.light
        tone = np.sqrt(np.arange(256, dtype=np.float32) / 255) * light.exposure
        picture = cv2.LUT(np.ascontiguousarray(linear), tone)
        if light.blur_px > 0:
            picture = cv2.GaussianBlur(picture, (0, 0), light.blur_px)
        top, left = self.sensor.integers(0, 64, 2)
        grain = self.grain[top : top + picture.shape[0], left : left + picture.shape[1]]
        picture = picture + grain * (light.noise * (1.25 - 0.5 * picture))
        return np.asarray(np.clip(picture * 255 + 0.5, 0, 255), dtype=np.uint8)

    def _moving(self, moving: Triangles) -> tuple[moderngl.VertexArray, moderngl.VertexArray] | None:
        """What moves with the athlete, to be drawn and to cast its shadow."""
        if not len(moving):
            return None
        if self.gear is None:
            self.gear = self.context.buffer(moving.tobytes(), dynamic=True)
            seen = self.context.vertex_array(self.still_program, [(self.gear, *LAYOUT)])
            self.gear_drawn = seen, self.context.vertex_array(self.depth_program, [(self.gear, "3f 36x", "position")])
        self.gear.write(moving.tobytes())
        return self.gear_drawn

    def _cast_shadows(self, gear: tuple[moderngl.VertexArray, moderngl.VertexArray] | None) -> None:
        self.shadow_frame.use()
        self.shadow_frame.clear(depth=1.0)
        self.depth_program["view"].value = self.shadow_view
        if self.things_count:
            self.things.render(vertices=self.things_count, first=self.first_thing)
        if gear:
            gear[1].render()
        for skin in self.skins:
            skin.outline.render()

    def _textures(self, seed: int) -> None:
        pictures = tiles(seed)
        layers, height, width, _ = pictures.shape
        self.tiles = self.context.texture_array((width, height, layers), 3, pictures.tobytes())
        self.tiles.build_mipmaps()
        self.tiles.filter = (moderngl.LINEAR_MIPMAP_NEAREST, moderngl.LINEAR)
        self.tiles.anisotropy = 2.0
        block = noise_block(seed)
        self.noise = self.context.texture3d(block.shape[:3], 4, block.tobytes())
        self.noise.build_mipmaps()
        self.noise.filter = (moderngl.LINEAR_MIPMAP_NEAREST, moderngl.LINEAR)
        self.still_program["tiles"].value = 1
        self.body_program["noise"].value = 2

    def _light(self, light: Light, focus: Array) -> None:
        azimuth, elevation = np.radians(light.azimuth), np.radians(light.elevation)
        lamp = np.array([np.sin(azimuth) * np.cos(elevation), -np.cos(azimuth) * np.cos(elevation), np.sin(elevation)])
        matrix = _shadow_matrix(lamp, focus)
        self.shadow_view = tuple(matrix.T.ravel())
        self.shadow = self.context.depth_texture((SHADOW, SHADOW))
        self.shadow.compare_func = "<="
        self.shadow.repeat_x = self.shadow.repeat_y = False
        self.shadow_frame = self.context.framebuffer(depth_attachment=self.shadow)
        warm = np.array([1 + 0.25 * light.warmth, 1.0, 1 - 0.3 * light.warmth])
        for program in (self.still_program, self.body_program):
            program["shadow_map"].value = 0
            program["shadow_matrix"].value = self.shadow_view
            program["lamp"].value = tuple(lamp)
            program["lamp_colour"].value = tuple(light.strength * warm)
            program["ambient_colour"].value = tuple(light.ambient * (0.4 * warm + 0.6))


def _view(camera: Camera, index: int) -> Array:
    """Clip-space matrix (4, 4) of the phone at a frame."""
    phone, focal = camera.phone, camera.focal_px
    look = np.eye(4)
    look[:3, :3] = camera.axes[index]
    look[:3, 3] = -camera.axes[index] @ camera.positions[index]
    lens = np.zeros((4, 4))
    lens[0, 0] = 2 * focal / phone.width
    lens[1, 1] = 2 * focal / phone.height
    lens[2, 2], lens[2, 3] = (FAR + NEAR) / (FAR - NEAR), -2 * FAR * NEAR / (FAR - NEAR)
    lens[3, 2] = 1.0
    return np.asarray(lens @ look)


def _shadow_matrix(lamp: Array, focus: Array) -> Array:
    helper = np.array([0.0, 0, 1]) if abs(lamp[2]) < 0.95 else np.array([1.0, 0, 0])
    right = np.cross(helper, lamp)
    right = right / np.linalg.norm(right)
    rows = np.stack([right / SHADOW_HALF, np.cross(lamp, right) / SHADOW_HALF, -lamp / 6.0])
    matrix = np.eye(4)
    matrix[:3, :3] = rows
    matrix[:3, 3] = -rows @ focus
    return matrix
