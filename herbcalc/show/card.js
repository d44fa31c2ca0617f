// The little that a browser must do for a card: say the groups by name, read aloud what is answered, and keep the
// notebook's own keys away while something on the card has the focus. Everything else is done in Python.

// Every card runs a copy of this file of its own, so a count would give two cards the same names.
const newName = () => `herb-group-${Math.random().toString(36).slice(2)}`;

function name(card) {
  for (const row of card.querySelectorAll(".widget-radio")) {
    const label = row.querySelector(".widget-label")?.textContent?.trim();
    const group = row.querySelector(".widget-radio-box");
    if (!label || !group) continue;
    group.setAttribute("role", "radiogroup");
    group.setAttribute("aria-label", label);
    // One group, one stop for Tab, and the arrow keys move inside it.
    for (const input of group.querySelectorAll("input")) input.name ||= group.id ||= newName();
  }
  // The place stays and its words change: that is what a screen reader listens to.
  for (const place of card.querySelectorAll(".herb-live .widget-html-content")) {
    place.setAttribute("role", "status");
  }
}

export default {
  render({ el }) {
    let card = null;
    let waiting = 0;
    let named = 0;
    const watch = new MutationObserver(() => {
      cancelAnimationFrame(named);
      named = requestAnimationFrame(() => name(card));
    });
    const keys = (event) => {
      // With Ctrl, Alt or Meta held, the notebook keeps its keys (saving, for one).
      if (!card?.contains(event.target)) return;
      card.toggleAttribute("data-lm-suppress-shortcuts", !(event.ctrlKey || event.metaKey || event.altKey));
    };
    const find = () => {
      card = el.closest(".herb-card");
      if (card === null) {
        waiting = requestAnimationFrame(find);
        return;
      }
      card.toggleAttribute("data-lm-suppress-shortcuts", true);
      name(card);
      watch.observe(card, { childList: true, subtree: true });
    };
    window.addEventListener("keydown", keys, true);
    find();
    return () => {
      cancelAnimationFrame(waiting);
      cancelAnimationFrame(named);
      watch.disconnect();
      window.removeEventListener("keydown", keys, true);
    };
  },
};
