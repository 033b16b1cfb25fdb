"""Through the cameras: what each lens sees, how far the picture lags, and how far it and control reach."""

from collections.abc import Callable
from functools import partial
from html import escape

from nicegui import ui

from rotorwright.craft.model import Craft
from rotorwright.predict.clearance import CameraView
from rotorwright.predict.frame_report import lens_pictures
from rotorwright.predict.link import LinkBudget
from rotorwright.predict.optics import CameraOptics, optics
from rotorwright.predict.report import Report
from rotorwright.predict.result import Prediction
from rotorwright.sheet.quantities import tell
from rotorwright.web.beside import beside
from rotorwright.web.desk import Desk, OnTable
from rotorwright.web.numbers import number_html
from rotorwright.web.svg import show_svg
from rotorwright.web.theme import act, display, page

__all__ = ["show_view"]


async def show_view(desk: Desk, table: OnTable) -> None:
    """Every camera's picture with its tilt at hand, and the links below."""
    now = await table.ready()
    with page(now.craft.title.full if now.craft else table.file.stem, desk, table, "view"):
        lenses = ui.element("div").classes("rw-lenses")
        links = ui.element("section")

        async def draw() -> None:
            found = table.answers
            if found is None or found.craft is None:
                return
            pictures = await beside(lens_pictures, found.craft)
            eyes = await beside(optics, found.craft)
            if lenses.is_deleted or table.answers is not found:
                return
            lenses.clear()
            with lenses:
                for (view, picture), eye in zip(pictures, eyes, strict=False):
                    _lens(table, found.craft, view, picture, eye, found.report)
                if not pictures:
                    ui.html("<p>No camera is on this craft: it is flown by sight.</p>", sanitize=False)
            links.clear()
            with links:
                _links(found.report)

        table.changed.subscribe(draw)
        await draw()


def _lens(
    table: OnTable, craft: Craft, view: CameraView, picture: str, eye: CameraOptics, report: Report | None
) -> None:
    with ui.element("figure").classes("rw-lens"):
        ui.html(f"<h2>{escape(eye.camera.replace('-', ' '))}</h2>", sanitize=False)
        show_svg(picture)
        covered = "No propeller is in the picture."
        if view.covered:
            covered = f"Propellers cover {view.covered:.1%} of the picture."
        guess = " Its field of view is not stated; a usual one is taken." if view.assumed_field_of_view else ""
        ui.html(f"<p>{covered}{guess}</p>", sanitize=False)
        _tilt(table, eye)
        rows = [
            ("field of view, across", eye.horizontal_deg, "degrees"),
            ("field of view, upright", eye.vertical_deg, "degrees"),
            ("top of the picture above forward", eye.top_deg, "degrees"),
            ("the picture lags by", eye.latency_s, "milliseconds"),
            ("flown blind at cruise", eye.blind_distance_m, "distance"),
        ]
        if report and report.flight and eye.camera == _first_camera(craft):
            rows.append(("the picture is level at", report.flight.camera_level_speed_m_per_s, "speed"))
        ui.html(_rows(rows), sanitize=False)


def _first_camera(craft: Craft) -> str:
    camera = craft.the("camera")
    return camera.id if camera else ""


def _tilt(table: OnTable, eye: CameraOptics) -> None:
    """The tilt under a finger: shown while it moves, written when it is let go."""
    now = round(eye.tilt_deg.value or 0.0, 1)
    with ui.element("div").classes("rw-tilt"):
        ui.html("tilt", sanitize=False, tag="span")
        slider = ui.slider(min=0, max=60, step=1, value=now).props("label")
        slider.props["aria-label"] = f"tilt of {eye.camera}"
        shown = ui.number(value=now, step=1, suffix="\u00b0").props("dense borderless").classes("rw-tilt-number")
        slider.on_value_change(lambda e: shown.set_value(e.value))
        write: Callable[[], object] = partial(_write_tilt, table, eye.camera, shown, now)
        slider.on("change", write)
        shown.on("change", write)


async def _write_tilt(table: OnTable, camera: str, shown: ui.number, before: float) -> None:
    if shown.value is not None and float(shown.value) != before:
        await act(lambda: table.change(f"{camera}.tilt_deg={float(shown.value):g}"))


def _rows(rows: list[tuple[str, Prediction, str]]) -> str:
    cells = [(escape(name), number_html(tell(value, quantity, display()))) for name, value, quantity in rows]
    body = "".join(f'<tr><th scope="row">{name}</th><td class="num">{told}</td></tr>' for name, told in cells)
    return f'<table class="rw-plain">{body}</table>'


def _links(report: Report | None) -> None:
    if report is None or report.link is None:
        return
    ui.html("<h2>How far it reaches</h2>", sanitize=False)
    with ui.element("div").classes("rw-lenses"):
        for link in (report.link.video, report.link.control, report.link.telemetry):
            _link(link)
    ui.html(
        '<p class="rw-soft rw-small">Radio law and a licence where one is needed, and the sight of the craft or of a '
        "spotter, come before any of these figures. Local rules prevail and change.</p>",
        sanitize=False,
    )


def _link(link: LinkBudget) -> None:
    with ui.element("div"):
        ui.html(f"<h3>{escape(link.name)}</h3>", sanitize=False)
        if link.reason:
            ui.html(f'<p class="rw-soft">{escape(link.reason)}</p>', sanitize=False)
            return
        ends = f"from {link.sender} to {link.receiver}"
        ui.html(f'<p class="rw-soft rw-small">{escape(ends)}</p>', sanitize=False)
        rows = [
            ("in the open", link.range_m, "distance"),
            ("among obstacles", link.clutter_range_m, "distance"),
            ("radiated, with the antenna", link.eirp_dbm, "decibel-milliwatt"),
            ("lost to polarisation", link.polarisation_loss_db, "decibel"),
            ("first Fresnel zone half way", link.fresnel_radius_m, "distance"),
        ]
        ui.html(_rows(rows), sanitize=False)
        for assumption in link.assumptions:
            ui.html(f'<p class="rw-small rw-soft">{escape(assumption)}</p>', sanitize=False)
