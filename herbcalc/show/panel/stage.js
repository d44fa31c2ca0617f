// The little that a browser must do for a panel: fill the screen, name the controls, and keep the notebook's own
// keys away while a control of the panel has the focus. Everything else is done in Python.

const LEAVE = "Leave the show view (Esc)";
const ENTER = "Show view: fill the screen";
const NO_SCREEN = "This browser did not lend us the whole screen. Its own full-screen key (often F11) does nearly the same.";

// Slider handles and typed boxes have no name of their own: give them the label of their row, which holds the unit.
function nameControls(root) {
  nameGroups(root);
  for (const row of root.querySelectorAll(".herb-dial")) {
    const label = row.querySelector(".widget-slider .widget-label")?.textContent?.trim();
    if (!label) continue;
    row.querySelector(".noUi-handle")?.setAttribute("aria-label", label);
    row.querySelector(".herb-twin input")?.setAttribute("aria-label", label + ", typed");
  }
  // The regions stay, their words change: that is what a screen reader listens to.
  for (const [place, role] of [[".herb-say", "status"], [".herb-note", "status"], [".herb-trouble", "alert"]]) {
    for (const region of root.querySelectorAll(place + " .widget-html-content")) {
      if (region.getAttribute("role") !== role) region.setAttribute("role", role);
    }
  }
}

export default {
  render({ model, el }) {
    const button = document.createElement("button");
    const trouble = document.createElement("span");
    button.type = "button";
    button.className = "herb-show jupyter-button lm-Widget";
    trouble.setAttribute("role", "status");
    el.append(button, trouble);
    let root = null;
    let waiting = 0;
    let named = 0;

    const filling = () => root !== null && document.fullscreenElement === root;
    const tell = () => {
      button.textContent = filling() ? LEAVE : ENTER;
      if (model.get("showing") !== filling()) {
        model.set("showing", filling());
        model.save_changes();
      }
    };
    const keys = (event) => {
      // The notebook looks for this mark on the focused element itself. With Ctrl, Alt or Meta held it keeps its keys
      // (saving, for one).
      if (!root?.contains(event.target)) return;
      if (event.key === "Escape" && filling()) document.exitFullscreen();
      const theirs = event.ctrlKey || event.metaKey || event.altKey;
      event.target.toggleAttribute("data-lm-suppress-shortcuts", !theirs);
    };
    const watch = new MutationObserver(() => {
      cancelAnimationFrame(named);
      named = requestAnimationFrame(() => nameControls(root));
    });
    const find = () => {
      root = el.closest(".herb-panel");
      if (root === null) {
        waiting = requestAnimationFrame(find);
        return;
      }
      nameControls(root);
      watch.observe(root, { childList: true, subtree: true });
      tell();
    };

    button.addEventListener("click", async () => {
      trouble.textContent = "";
      try {
        await (filling() ? document.exitFullscreen() : root.requestFullscreen());
      } catch {
        trouble.textContent = NO_SCREEN;
      }
    });
    document.addEventListener("fullscreenchange", tell);
    window.addEventListener("keydown", keys, true);
    button.textContent = ENTER;
    find();
    return () => {
      cancelAnimationFrame(waiting);
      cancelAnimationFrame(named);
      watch.disconnect();
      document.removeEventListener("fullscreenchange", tell);
      window.removeEventListener("keydown", keys, true);
    };
  },
};
