// Names for groups of choices; put before stage.js and card.js, which both need it.

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
