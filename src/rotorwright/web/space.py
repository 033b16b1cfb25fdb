"""The craft in space: turned by a hand, parts picked by a click; built when somebody asks for it."""

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from nicegui import ui
from nicegui.elements.scene.scene_object3d import Object3D
from nicegui.events import GenericEventArguments, SceneClickEventArguments

from rotorwright.craft.model import Craft
from rotorwright.predict.craft_meshes import PartMesh, craft_meshes, disc_meshes
from rotorwright.sheet.ink import LIGHT, group_of
from rotorwright.web.answers import Answers
from rotorwright.web.beside import beside
from rotorwright.web.desk import OnTable
from rotorwright.web.picked import Picked

__all__ = ["Space"]

# Lengths in the scene: one is a decimetre, which suits the near and far planes of its camera.
_SCALE = 10.0
_PICKED, _LIT = "#56b4e9", "#d55e00"
_DISC = 0.16
# Where the eye stands: turn about z from ahead, and rise [deg].
_EYES = {"Home": (38.0, 32.0), "Above": (180.0, 89.0), "Left": (90.0, 4.0), "Ahead": (0.0, 4.0)}
_SLOW, _QUICK = 0.5, 30
_HINT = (
    "Drag to turn, wheel for near and far, right button to shift; a click picks a part. Keys: arrows turn, + and "
    "\u2212 for near and far, Home. Parts can be picked by keys in the flat pictures and in the list of grams."
)


class Solid(Object3D, component=Path(__file__).parent / "static" / "solid.js"):
    """One part as the browser draws it."""

    def __init__(self, mesh: PartMesh, opacity: float) -> None:
        points = np.round(mesh.vertices * _SCALE, 4).ravel().tolist()
        super().__init__(points, mesh.triangles.ravel().tolist(), opacity)


class Space:
    """The scene of one window; it follows the craft while it is seen."""

    def __init__(self, table: OnTable, picked: Picked) -> None:
        self.table, self.picked = table, picked
        self.seen, self.shown = False, -1
        self.solids: dict[str, tuple[Solid, str]] = {}
        self.turn, self.rise = _EYES["Home"]
        self.far = 6.0
        self._lay_out()
        table.changed.subscribe(self.refresh)
        picked.changed.subscribe(self.colour)
        picked.lighting.subscribe(self.colour)

    def _lay_out(self) -> None:
        with ui.element("rw-space").props('tabindex="0" role="application"') as frame:
            camera = ui.scene.perspective_camera(fov=32, near=0.1, far=100)
            self.scene = ui.scene(
                grid=False, camera=camera, on_click=self._click, click_events=["click"], fps=_QUICK
            ).classes("rw-scene")
        frame.props["aria-label"] = f"The craft in space. {_HINT}"
        frame.on("spaceturn", self._turned, js_handler="(event) => emit(event.detail)")
        with ui.element("div").classes("rw-choice rw-eyes").props('role="group" aria-label="Look from"'):
            for word in _EYES:
                with ui.element("button").props('type="button"') as button:
                    ui.html(word, sanitize=False, tag="span")
                button.on("click", lambda word=word: self.look(word))
        ui.html(f"<p class='rw-says rw-small'>{_HINT}</p>", sanitize=False)

    async def show(self, seen: bool) -> None:
        """Draw while it is seen; rest while it is not, for the browser would go on drawing it."""
        self.seen = seen
        self.scene.props["fps"] = _QUICK if seen else _SLOW
        self.scene.update()
        if seen:
            await self.refresh()
            self.scene.run_method("resize")

    async def refresh(self) -> None:
        """Build the parts anew after a change of the craft."""
        now = self.table.answers
        if not self.seen or now is None or now.craft is None or now.revision == self.shown:
            return
        first = self.shown < 0
        self.shown = now.revision
        meshes = await beside(craft_meshes, now.craft)
        if now.revision == self.shown and not self.scene.is_deleted:
            self._build(now, now.craft, meshes)
            if first:
                self.look("Home")

    def _build(self, now: Answers, craft: Craft, meshes: Sequence[PartMesh]) -> None:
        self.scene.clear()
        self.solids = {}
        with self.scene:
            for mesh in meshes:
                self.solids[mesh.id] = (self._solid(mesh, 1.0), LIGHT[group_of(mesh.kind, mesh.role)])
            for disc in disc_meshes(craft):
                self._solid(disc, _DISC).material(LIGHT["thrust"], _DISC)
        reach = max((float(np.linalg.norm(mesh.vertices, axis=1).max()) for mesh in meshes), default=0.1)
        self.far = 3.6 * reach * _SCALE
        self.colour()

    @staticmethod
    def _solid(mesh: PartMesh, opacity: float) -> Solid:
        solid = Solid(mesh, opacity)
        solid.with_name(mesh.id)
        return solid

    def colour(self) -> None:
        """Every part in the colour of what it is for; the picked and the lit in their own."""
        for id, (solid, own) in self.solids.items():
            colour = _PICKED if id == self.picked.id else _LIT if id in self.picked.lit else own
            if solid.color != colour:
                solid.material(colour)

    def _click(self, event: SceneClickEventArguments) -> None:
        ids = [hit.object_name for hit in event.hits if hit.object_id in {s.id for s, _ in self.solids.values()}]
        self.picked.pick(ids[0] if ids else "")

    def look(self, word: str) -> None:
        """Stand where one of the named eyes stands."""
        self.turn, self.rise = _EYES[word]
        self._stand(self.far)

    def _stand(self, far: float, seconds: float = 0.4) -> None:
        t, r = math.radians(self.turn), math.radians(self.rise)
        x, y, z = far * math.cos(r) * math.cos(t), far * math.cos(r) * math.sin(t), far * math.sin(r)
        self.scene.move_camera(x, y, z, 0, 0, 0, duration=seconds)

    async def _turned(self, event: GenericEventArguments) -> None:
        """A key turns the eye from where the hand has left it."""
        turn, rise, nearer = (float(event.args.get(name, 0)) for name in ("turn", "rise", "nearer"))
        if event.args.get("home"):
            self.look("Home")
            return
        camera = await self.scene.get_camera()
        x, y, z = (float(camera["position"][axis]) for axis in "xyz")
        far = math.sqrt(x * x + y * y + z * z) or self.far
        self.turn = math.degrees(math.atan2(y, x)) + turn
        self.rise = min(max(math.degrees(math.asin(z / far)) + rise, -89.0), 89.0)
        self._stand(far * 0.85**nearer, 0.15)
