// Forms of the choice. What was typed is sent when Enter is pressed or the field is left, if anything has changed;
// what is open, and where the hand is, outlives a fresh drawing of the markup.
(() => {
  const opened = new Set();
  let last = null; // the field under the hand: its key, and what was typed into it so far
  let waiting = 0;

  const form_of = (event) => event.target.closest?.("form[data-form]");
  const typed = (form) => Object.fromEntries(new FormData(form));
  // Where none is marked, the first is chosen.
  const drawn = (choice) => Math.max(0, [...choice.options].findIndex((option) => option.defaultSelected));
  const differs = (field) =>
    field.type === "checkbox" ? field.checked !== field.defaultChecked
    : field.name === "unit" ? false // the same value in other words
    : field.tagName === "SELECT" ? field.selectedIndex !== drawn(field)
    : field.name && field.value !== (field.dataset.shown ?? field.defaultValue);

  // What there is to send now: nothing when it was sent already, or when all stands as it was drawn.
  const said = (form) => ({ form: form.dataset.form, typed: typed(form) });
  const unwritten = (form) => form.dataset.sent !== JSON.stringify(typed(form));
  const unsent = (form) =>
    unwritten(form) && (form.dataset.sent || [...form.elements].some(differs)) ? said(form) : null;
  const send = (form, what, emit) => {
    if (!what || !form.isConnected) return;
    form.dataset.sent = JSON.stringify(what.typed);
    emit(what);
  };

  const key_of = (field) => {
    if (field.tagName === "SUMMARY") return `open:${field.parentElement.dataset.keep ?? ""}`;
    const form = field.closest?.("form[data-form]");
    if (!form) return field.dataset?.what !== undefined ? `do:${field.dataset.do}:${field.dataset.what}` : null;
    return [form.dataset.form, form.elements.field?.value ?? "", field.name ?? ""].join(":");
  };

  window.rwChoice = {
    submitted(event, emit) {
      event.preventDefault();
      const form = form_of(event);
      if (form.dataset.form === "find") step(document.activeElement, 1);
      else if (event.submitter && unwritten(form)) send(form, said(form), emit); // asked for by its button
      else send(form, unsent(form), emit);
    },
    left(event, emit) {
      const form = form_of(event);
      if (!form || ["wish", "find", "pick"].includes(form.dataset.form)) return;
      if (form.contains(event.relatedTarget) && form.dataset.each === undefined) return;
      const what = unsent(form); // before the next field changes; later, because a field that is drawn anew is left too
      setTimeout(() => send(form, what, emit));
    },
    changed(event, emit) {
      const form = form_of(event);
      if (!form) return;
      if (event.target.name === "unit") convert(event.target);
      if (form.dataset.form === "wish" || event.target.dataset.now !== undefined) send_always(form, emit);
    },
    typing(event, emit) {
      const form = form_of(event);
      if (event.target.type !== "search" || !form) return;
      clearTimeout(waiting);
      waiting = setTimeout(() => send_always(form, emit), 200);
    },
    pressed(event, emit) {
      const button = event.target.closest?.("[data-do]");
      if (button) emit({ doing: button.dataset.do, what: button.dataset.what ?? "" });
    },
    close(key) {
      opened.delete(key);
      const found = document.querySelector(`.ch-root details[data-keep="${CSS.escape(key)}"]`);
      if (!found) return;
      const inside = found.contains(document.activeElement) || document.activeElement === document.body;
      found.open = false;
      if (inside) found.querySelector("summary").focus();
    },
    find(words, focus = true) {
      const field = document.getElementById("ch-find");
      field.value = words;
      if (focus) { field.focus(); field.scrollIntoView({ block: "nearest" }); }
    },
  };

  const send_always = (form, emit) => emit(said(form));

  // The number that stands is said in the new unit; one that was typed is left alone.
  const convert = (unit) => {
    for (const name of ["value", "sd"]) {
      const field = unit.form.elements[name];
      if (!field || field.value !== (field.dataset.shown ?? field.defaultValue)) continue;
      field.value = field.dataset.shown = unit.selectedOptions[0].dataset[name] ?? "";
    }
  };

  const step = (from, by) => {
    const stops = [...document.querySelectorAll(".ch-root [data-step]")].filter((one) => one.offsetParent);
    const next = stops[stops.indexOf(from) + by];
    if (next) { next.focus(); next.scrollIntoView({ block: "nearest" }); }
    return Boolean(next);
  };

  document.addEventListener("keydown", (event) => {
    const target = event.target;
    if (!target.closest?.(".ch-root")) return;
    if (event.key === "Escape") {
      const form = target.closest("form[data-form]");
      form?.reset();
      const fold = target.closest("details[data-keep^='known:']");
      if (fold) { fold.open = false; fold.querySelector("summary").focus(); }
    } else if (event.key === "Enter" && target.matches("textarea, form[data-form] input")) {
      event.preventDefault();
      target.form.requestSubmit();
    } else if (target.dataset.step !== undefined && (event.key === "ArrowDown" || event.key === "ArrowUp")) {
      if (step(target, event.key === "ArrowDown" ? 1 : -1)) event.preventDefault();
    }
  });

  document.addEventListener("toggle", (event) => {
    const key = event.target.closest?.(".ch-root") && event.target.dataset.keep;
    if (!key || !event.target.isConnected) return;
    event.target.open ? opened.add(key) : opened.delete(key);
    if (event.target.open && last?.toggled === key) event.target.querySelector("[name=value]")?.select?.();
  }, true);
  document.addEventListener("click", (event) => {
    const fold = event.target.closest?.(".ch-root summary")?.parentElement;
    if (!fold) return;
    last = { key: key_of(event.target.closest("summary")), typed: null, toggled: fold.dataset.keep };
    fold.open ? opened.delete(fold.dataset.keep) : opened.add(fold.dataset.keep); // now: 'toggle' comes later, perhaps to one no longer drawn
  }, true);

  document.addEventListener("pointerdown", () => { last = null; }, true);
  document.addEventListener("focusin", (event) => {
    last = event.target.closest?.(".ch-root") ? { key: key_of(event.target), typed: null } : null;
  });
  document.addEventListener("input", (event) => {
    if (last?.key && key_of(event.target) === last.key) last.typed = event.target.value;
  });

  const restore = () => {
    for (const fold of document.querySelectorAll(".ch-root details[data-keep]"))
      if (opened.has(fold.dataset.keep) && !fold.open) fold.open = true;
    if (!last?.key || document.activeElement !== document.body) return;
    const keep = last;
    for (const field of document.querySelectorAll(".ch-root :is(input, select, textarea, button, summary)")) {
      if (key_of(field) !== keep.key || field.type === "hidden") continue;
      field.focus();
      if (keep.typed !== null && field.value !== keep.typed) field.value = keep.typed;
      break;
    }
  };
  document.addEventListener("DOMContentLoaded", () => new MutationObserver((records) => {
    if (records.some((record) => record.target.closest?.(".ch-root"))) restore();
  }).observe(document.body, { childList: true, subtree: true }));
})();
