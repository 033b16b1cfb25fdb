// The hands of the table page: picking, moving and reading the picture of the craft, and the list of its grams.
// The server draws; what changes while a hand moves (light, ghost, labels) is done here.

const SVG = "http://www.w3.org/2000/svg";
const node = (tag, attributes) => {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
};

class CraftPicture extends HTMLElement {
  static observedAttributes = ["data-picked", "data-lit", "data-moving", "data-tries"];

  connectedCallback() {
    if (this.ready) return;
    this.ready = true;
    this.active = "";
    this.drag = null;
    this.nudge = null;
    for (const name of ["pointerdown", "pointermove", "pointerup", "pointercancel", "pointerleave", "keydown", "focus", "blur"])
      this.addEventListener(name, (event) => this[`on_${name}`](event));
    this.redrawn = new MutationObserver((changes) => this.settle(changes.some((one) => this.bodies.contains(one.target))));
    for (const layer of this.querySelectorAll(".rw-bodies, .rw-marks")) this.redrawn.observe(layer, { childList: true });
    new ResizeObserver(() => this.settle(false)).observe(this);
    this.settle(true);
  }

  attributeChangedCallback(name, before, now) {
    if (!this.ready) return;
    if (name === "data-picked" && now) this.active = now;
    if (name === "data-tries") setTimeout(() => this.drop(), 300);
    else this.light();
  }

  get bodies() { return this.querySelector(".rw-bodies"); }
  get svg() { return this.querySelector("svg.is-bodies"); }
  get moving() { return Boolean(this.dataset.moving); }
  get says() { return this.parentElement.querySelector(".rw-says"); }
  parts(id) { return [...this.querySelectorAll(".is-bodies .p")].filter((one) => one.dataset.id === id); }

  // Sizes of letters and marks follow the screen, not the craft; labels go where there is room.
  settle(anew) {
    const svg = this.svg;
    if (!svg || !svg.clientWidth) return;
    const view = svg.viewBox.baseVal;
    const per = 1 / Math.min(svg.clientWidth / view.width, svg.clientHeight / view.height);
    for (const one of this.querySelectorAll("svg")) one.style.setProperty("--px", per);
    for (const dot of this.querySelectorAll(".rw-dot")) dot.style.setProperty("--i", dot.dataset.shift);
    if (anew) this.lay_ghost();
    if (anew && !this.drag) this.drop();
    this.light();
    this.label(per);
  }

  label(per) {
    const taken = [...this.querySelectorAll(".rw-thrust-centre, .rw-dimension text")].map((one) => box_of(one, 0));
    const frame = this.svg.getBoundingClientRect();
    const labels = [...this.querySelectorAll(".rw-label")].sort((a, b) => a.dataset.rank - b.dataset.rank);
    for (const one of labels) {
      const [x, y, r] = ["x", "y", "r"].map((name) => Number(one.dataset[name]));
      const wide = one.getBBox().width / 2, tall = 13 * per, gap = r + 3 * per;
      const spots = [[x + gap + wide, y], [x - gap - wide, y], [x, y - gap - tall / 2], [x, y + gap + tall / 2]];
      if (wide * 2 < r * 1.7) spots.unshift([x, y]);
      one.style.visibility = "hidden";
      for (const [u, v] of spots) {
        one.setAttribute("x", u);
        one.setAttribute("y", v + 0.34 * tall);
        const here = box_of(one, 1);
        if (here.left < frame.left || here.right > frame.right || here.top < frame.top || here.bottom > frame.bottom || taken.some((other) => meets(here, other))) continue;
        taken.push(here);
        one.style.visibility = "visible";
        break;
      }
    }
  }

  // What is picked or lit is drawn again on top, so that it is seen through what covers it.
  light() {
    const ghost = this.ghost();
    if (!ghost) return;
    ghost.querySelectorAll(".rw-shine").forEach((one) => one.remove());
    const lit = JSON.parse(this.dataset.lit || "[]");
    for (const one of this.querySelectorAll(".is-bodies .p, .rw-spot")) {
      one.classList.toggle("is-picked", one.dataset.id === this.dataset.picked);
      if (one.hasAttribute("role")) one.setAttribute("aria-pressed", one.dataset.id === this.dataset.picked);
    }
    const shine = (id, word) => this.parts(id).forEach((one) => ghost.append(copied(one, `rw-shine ${word}`)));
    lit.forEach((id) => shine(id, "is-lit"));
    if (this.dataset.picked) shine(this.dataset.picked, "is-picked");
    if (this.active && document.activeElement === this) shine(this.active, "is-active");
    if (!this.drag && !this.nudge) this.say(this.active || this.dataset.picked);
  }

  ghost() { return this.querySelector(".rw-ghost svg"); }

  lay_ghost() {
    const place = this.querySelector(".rw-ghost"), svg = this.svg;
    if (!svg) return;
    const old = this.ghost(), kept = old ? [...old.querySelectorAll(".rw-moved")] : [];
    const made = node("svg", { class: "rw-layer", viewBox: svg.getAttribute("viewBox"), preserveAspectRatio: "xMidYMid meet" });
    made.style.setProperty("--px", svg.style.getPropertyValue("--px"));
    if (this.drag?.going || this.nudge) made.append(...kept);
    place.replaceChildren(made);
  }

  say(id, more) {
    const part = id && this.parts(id)[0];
    const words = part ? part.dataset.says + (part.dataset.fixed ? "" : " \u00b7 can be moved") : this.says.dataset.hint;
    this.says.textContent = more || words;
  }

  under(event) {
    const found = [];
    for (const one of document.elementsFromPoint(event.clientX, event.clientY)) {
      const id = this.contains(one) && one.closest("[data-id]")?.dataset.id;
      if (id && !found.includes(id)) found.push(id);
    }
    return found;
  }

  point(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  on_pointerdown(event) {
    if (event.button !== 0 || !this.svg) return;
    const ids = this.under(event);
    const id = ids.includes(this.dataset.picked) ? this.dataset.picked : ids[0];
    this.down = { x: event.clientX, y: event.clientY, ids };
    const hand = event.pointerType === "mouse" || this.moving;
    this.drag = id && hand ? { id, from: this.point(event), going: false } : null;
    if (this.drag && event.pointerType !== "mouse") this.setPointerCapture(event.pointerId);
  }

  on_pointermove(event) {
    if (!this.drag) {
      if (event.pointerType === "mouse" && !this.nudge) this.say(this.under(event)[0] || this.active || this.dataset.picked);
      return;
    }
    const far = Math.hypot(event.clientX - this.down.x, event.clientY - this.down.y);
    if (!this.drag.going && far < 5) return;
    const part = this.parts(this.drag.id)[0];
    if (!this.drag.going) {
      this.drag.going = true;
      this.setPointerCapture(event.pointerId);
      if (part?.dataset.fixed) this.say("", `${this.drag.id} cannot be moved here: ${part.dataset.fixed}.`);
    }
    if (!part || part.dataset.fixed) return;
    const [x, y] = this.point(event), [x0, y0] = this.drag.from;
    let right = x - x0, up = y0 - y;
    if (event.shiftKey) Math.abs(right) > Math.abs(up) ? (up = 0) : (right = 0);
    this.drag.at = this.moved(part, right, up, event.altKey ? 0.1 : 1, true);
    this.show_moved(this.drag.id, this.drag.at);
  }

  on_pointerup(event) {
    const drag = this.drag;
    this.drag = null;
    if (!this.down) return;
    if (drag?.going) {
      if (drag.at) this.emit("partplace", { id: drag.id, at: drag.at });
      else this.drop();
      if (this.dataset.picked !== drag.id && drag.at) this.emit("partpick", { id: drag.id });
      this.again = null;
      return;
    }
    if (Math.hypot(event.clientX - this.down.x, event.clientY - this.down.y) > 5) return;
    const { ids, x, y } = this.down;
    const same = this.again && Math.hypot(x - this.again.x, y - this.again.y) < 5;
    const next = same ? ids[(ids.indexOf(this.dataset.picked) + 1) % Math.max(ids.length, 1)] : ids[0];
    this.again = { x, y };
    this.active = next || "";
    this.emit("partpick", { id: next || "" });
  }

  on_pointercancel() {
    this.drag = null;
    this.drop();
  }

  on_pointerleave() {
    if (!this.drag && !this.nudge) this.say(this.active || this.dataset.picked);
  }

  // A place moved in the plane that is seen; near the middle line it keeps to it.
  moved(part, right, up, step, snap) {
    const R = JSON.parse(this.dataset.right), U = JSON.parse(this.dataset.up);
    const at = part.dataset.at.split(" ").map(Number);
    const seen = [0, 1, 2].map((k) => R[k] !== 0 || U[k] !== 0);
    const reach = 6 * Number(this.svg.style.getPropertyValue("--px"));
    return at.map((value, k) => {
      const way = R[k] * right + U[k] * up;
      if (!seen[k] || way === 0) return value;
      const free = value + way;
      if (k === 1 && snap && Math.abs(free) < reach) return 0;
      return Number((Math.round(free / step) * step).toFixed(3));
    });
  }

  show_moved(id, at) {
    const ghost = this.ghost(), part = this.parts(id)[0];
    if (!ghost || !part) return;
    ghost.querySelectorAll(".rw-moved").forEach((one) => one.remove());
    const R = JSON.parse(this.dataset.right), U = JSON.parse(this.dataset.up);
    const from = part.dataset.at.split(" ").map(Number);
    const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    const dx = dot(R, at) - dot(R, from), dy = dot(U, from) - dot(U, at);
    const group = node("g", { class: "rw-moved", transform: `translate(${dx} ${dy})` });
    this.parts(id).forEach((one) => group.append(copied(one, "")));
    const x = dot(R, at), y = -dot(U, at), view = this.svg.viewBox.baseVal;
    const lines = node("path", { class: "rw-moved is-cross", d: `M${view.x} ${y}H${view.x + view.width}M${x} ${view.y}V${view.y + view.height}` });
    const text = node("text", { class: "rw-moved", x, y });
    text.setAttribute("dy", "-1em");
    text.textContent = this.spoken(at);
    ghost.append(lines, group, text);
    const clear = 12 * Number(this.svg.style.getPropertyValue("--px")), half = text.getBBox().width / 2 + clear / 2;
    text.setAttribute("x", Math.min(Math.max(x, view.x + half), view.x + view.width - half));
    text.setAttribute("y", Math.max(group.getBBox().y + dy - clear / 2, view.y + 2.5 * clear));
    this.say("", `${id} to ${this.spoken(at)}`);
  }

  spoken(at) {
    const inches = Boolean(this.dataset.inches), unit = inches ? "in" : "mm";
    const said = (value) => (inches ? (value / 25.4).toFixed(2) : String(Number(value.toFixed(1)))).replace("-", "\u2212");
    return `${said(at[0])} ahead, ${said(at[1])} left, ${said(at[2])} up ${unit}`;
  }

  drop() {
    if (this.drag?.going || this.nudge) return;
    this.ghost()?.querySelectorAll(".rw-moved").forEach((one) => one.remove());
    this.light();
  }

  // Keys: arrows go from part to part, Enter picks; in move mode arrows move the picked part.
  on_keydown(event) {
    const ways = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = ways[event.key];
    const picked = this.moving && this.dataset.picked && this.parts(this.dataset.picked)[0];
    if (event.key === "Escape") return this.on_escape(event);
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (way && picked) this.nudged(picked, way, event.shiftKey ? 5 : 1);
    else if (way || event.key === "Home" || event.key === "End") this.step(event.key, way);
    else if (event.key === "Enter" && this.nudge) this.commit();
    else if ((event.key === "Enter" || event.key === " ") && this.active) this.emit("partpick", { id: this.active });
    else return;
    event.preventDefault();
  }

  on_escape(event) {
    if (this.drag || this.nudge) event.preventDefault();
    else if (this.dataset.picked) this.emit("partpick", { id: "" });
    clearTimeout(this.nudge?.timer);
    this.drag = this.nudge = null;
    this.drop();
  }

  step(key, way) {
    const ids = [...new Set([...this.querySelectorAll(".is-bodies [role]")].sort((a, b) => a.dataset.n - b.dataset.n).map((one) => one.dataset.id))];
    if (!ids.length) return;
    const now = ids.indexOf(this.active || this.dataset.picked), by = way ? (way[0] || -way[1]) : 0;
    const next = key === "Home" ? 0 : key === "End" ? ids.length - 1 : now < 0 ? 0 : (now + by + ids.length) % ids.length;
    this.active = ids[next];
    this.setAttribute("aria-activedescendant", this.parts(this.active).find((one) => one.id)?.id || "");
    this.light();
  }

  nudged(part, way, step) {
    if (part.dataset.fixed) return this.say("", `${part.dataset.id} cannot be moved here: ${part.dataset.fixed}.`);
    const before = this.nudge?.id === part.dataset.id ? this.nudge : { right: 0, up: 0 };
    clearTimeout(before.timer);
    const right = before.right + step * way[0], up = before.up + step * way[1];
    this.nudge = { id: part.dataset.id, right, up, at: this.moved(part, right, up, 0.1, false) };
    this.nudge.timer = setTimeout(() => this.commit(), 700);
    this.show_moved(this.nudge.id, this.nudge.at);
  }

  commit() {
    const { id, at, timer } = this.nudge;
    clearTimeout(timer);
    this.nudge = null;
    this.emit("partplace", { id, at });
  }

  on_focus() {
    this.light();
  }

  on_blur() {
    if (this.nudge) this.commit();
    this.light();
  }

  emit(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

function copied(part, words) {
  const made = node("g", { class: words });
  for (const one of part.children) if (one.tagName !== "title") made.append(one.cloneNode(true));
  return made;
}

function box_of(one, room) {
  const box = one.getBoundingClientRect();
  return { left: box.left - room, right: box.right + room, top: box.top - room, bottom: box.bottom + room };
}

const meets = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

// The list of grams: rows that can be picked, and a filter that works while somebody types.
class GramList extends HTMLElement {
  static observedAttributes = ["data-picked", "data-lit"];

  connectedCallback() {
    if (this.ready) return;
    this.ready = true;
    this.field = this.parentElement.querySelector(".rw-grams-filter");
    this.field?.addEventListener("input", () => this.filter());
    this.field?.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      this.field.value = "";
      this.filter();
    });
    this.addEventListener("click", (event) => {
      if (event.target.closest(".rw-gram-more")) this.spread(!this.all);
      const id = event.target.closest("[data-id]")?.dataset.id;
      if (id) this.dispatchEvent(new CustomEvent("partpick", { detail: { id } }));
    });
    const focused = () => this.querySelector(":focus")?.dataset.id;
    this.addEventListener("focusin", () => (this.last = focused()));
    this.addEventListener("focusout", (event) => { if (event.relatedTarget) this.last = undefined; });
    new MutationObserver(() => this.redrawn()).observe(this, { childList: true, subtree: true });
    this.redrawn();
  }

  attributeChangedCallback() {
    if (this.ready) this.light();
  }

  redrawn() {
    this.light();
    this.filter();
    if (this.last && document.activeElement === document.body)
      [...this.querySelectorAll("button")].find((one) => one.dataset.id === this.last)?.focus({ preventScroll: true });
  }

  spread(all) {
    this.all = all;
    this.filter();
  }

  light() {
    const lit = JSON.parse(this.dataset.lit || "[]");
    const hidden = [...this.querySelectorAll("li.is-light")].some((row) => row.dataset.row === this.dataset.picked);
    if (hidden && !this.all) this.spread(true);
    for (const row of this.querySelectorAll("li[data-row]")) {
      row.classList.toggle("is-picked", row.dataset.row !== "" && row.dataset.row === this.dataset.picked);
      row.classList.toggle("is-lit", lit.includes(row.dataset.row));
      row.querySelector("button")?.setAttribute("aria-pressed", row.dataset.row === this.dataset.picked);
    }
  }

  filter() {
    const words = (this.field?.value || "").toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    this.firstElementChild?.classList.toggle("is-filtered", words.length > 0);
    this.firstElementChild?.classList.toggle("is-all", Boolean(this.all));
    this.querySelector(".rw-gram-more button")?.setAttribute("aria-expanded", Boolean(this.all));
    for (const row of this.querySelectorAll("li[data-words]")) {
      row.hidden = !words.every((word) => row.dataset.words.includes(word));
      if (!row.hidden && row.dataset.row !== undefined) shown += 1;
    }
    const none = this.querySelector(".rw-grams-none");
    if (none) none.hidden = shown > 0 || !words.length;
  }
}

customElements.define("rw-picture", CraftPicture);
customElements.define("rw-grams", GramList);

// The picture in space: keys turn it, and a drag that turns it picks nothing.
class SpacePicture extends HTMLElement {
  connectedCallback() {
    if (this.ready) return;
    this.ready = true;
    this.addEventListener("pointerdown", (event) => (this.down = event), true);
    this.addEventListener("click", (event) => {
      if (this.down && Math.hypot(event.clientX - this.down.clientX, event.clientY - this.down.clientY) > 4) event.stopPropagation();
    }, true);
    this.addEventListener("keydown", (event) => {
      const turns = {
        ArrowLeft: { turn: -10 }, ArrowRight: { turn: 10 }, ArrowUp: { rise: 8 }, ArrowDown: { rise: -8 },
        "+": { nearer: 1 }, "=": { nearer: 1 }, "-": { nearer: -1 }, Home: { home: true },
      };
      if (!turns[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      this.dispatchEvent(new CustomEvent("spaceturn", { detail: turns[event.key] }));
    });
    this.bare();
  }

  // The paper of the page shows through the scene, light or dark.
  bare() {
    const scene = this.querySelector(".rw-scene");
    const renderer = scene && typeof getElement === "function" && getElement(scene.id.slice(1))?.renderer;
    if (renderer) renderer.setClearAlpha(0);
    else setTimeout(() => this.isConnected && this.bare(), 100);
  }
}

customElements.define("rw-space", SpacePicture);
