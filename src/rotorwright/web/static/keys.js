// One letter goes to what carries it as data-key; never while somebody is typing.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const target = event.target;
  if (target.closest("input, textarea, select, [contenteditable], [role=listbox], [role=slider]")) return;
  const key = event.key === "w" ? "a.rw-workshop" : `[data-key="${CSS.escape(event.key)}"]`;
  const found = document.querySelector(key);
  if (!found || found.disabled) return;
  event.preventDefault();
  found.tagName === "INPUT" ? found.focus() : found.click();
});
