// Names for groups of choices, and saving from a box; put before stage.js and card.js, which both need it.

// Every card and panel runs a copy of this file of its own, so a count would give two groups the same name.
const newName = () => `herb-group-${Math.random().toString(36).slice(2)}`;

// A group of choices says its label aloud, is one stop for Tab, and the arrow keys move inside it.
function nameGroups(root) {
  for (const row of root.querySelectorAll(".widget-radio")) {
    const label = row.querySelector(".widget-label")?.textContent?.trim();
    const group = row.querySelector(".widget-radio-box");
    if (!label || !group) continue;
    group.setAttribute("role", "radiogroup");
    group.setAttribute("aria-label", label);
    for (const input of group.querySelectorAll("input")) input.name ||= group.id ||= newName();
  }
}

// A box that is typed in keeps every key to itself, so that Ctrl S never reaches the notebook. Send what was typed, and
// hand the key on from outside the box.
function saveFrom(event) {
  const saving = (event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "s";
  if (!saving || !event.isTrusted || !event.target.matches?.("input, textarea")) return false;
  event.preventDefault();
  event.stopImmediatePropagation();
  event.target.dispatchEvent(new Event("change", { bubbles: true }));
  const { key, code, keyCode, ctrlKey, metaKey } = event;
  const outside = event.target.closest(".jp-Notebook") ?? document.body;
  outside.dispatchEvent(new KeyboardEvent("keydown", { key, code, keyCode, ctrlKey, metaKey, bubbles: true, cancelable: true }));
  return true;
}
