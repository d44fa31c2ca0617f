// The little that a browser must do for a card: say the groups by name, read aloud what is answered, and keep the
// notebook's own keys away while something on the card has the focus. Everything else is done in Python.

function name(card, points) {
  nameGroups(card);
  for (const group of card.querySelectorAll(".herb-points")) {
    group.toggleAttribute("hidden", !group.childElementCount);
    if (group.childElementCount) {
      group.setAttribute("role", "group");
      group.setAttribute("aria-label", points);
    }
  }
  // The place stays and its words change: that is what a screen reader listens to.
  for (const place of card.querySelectorAll(".herb-live .widget-html-content")) {
    place.setAttribute("role", "status");
  }
  // What is kept of ticks and a mended figure is said too, and takes nothing away from what was said before.
  for (const place of card.querySelectorAll(".herb-noted .widget-html-content")) {
    place.setAttribute("aria-live", "polite");
  }
}

export default {
  render({ model, el }) {
    let card = null;
    let waiting = 0;
    let named = 0;
    const watch = new MutationObserver(() => {
      cancelAnimationFrame(named);
      named = requestAnimationFrame(() => name(card, model.get("points")));
    });
    const keys = (event) => {
      // With Ctrl, Alt or Meta held, the notebook keeps its keys (saving, for one).
      if (!card?.contains(event.target) || saveFrom(event)) return;
      // What was typed goes out before the Enter that asks about it.
      if (event.key === "Enter" && event.target.matches("input[type=text]")) {
        event.target.dispatchEvent(new Event("change", { bubbles: true }));
      }
      card.toggleAttribute("data-lm-suppress-shortcuts", !(event.ctrlKey || event.metaKey || event.altKey));
    };
    const find = () => {
      card = el.closest(".herb-card");
      if (card === null) {
        waiting = requestAnimationFrame(find);
        return;
      }
      card.toggleAttribute("data-lm-suppress-shortcuts", true);
      name(card, model.get("points"));
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
