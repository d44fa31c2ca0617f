// The little that a browser must do for a panel: fill the screen, name the controls, take the keys of a hand-held
// remote, and keep the notebook's own keys away while a control of the panel has the focus. Python does the rest.

const LEAVE = "Leave the show view (Esc)";
const ENTER = "Show view: fill the screen";
const NO_SCREEN = "This browser did not lend us the whole screen. Its own full-screen key (often F11) does nearly the same.";
const TEACHER = "Teacher's window";
const NO_WINDOW = "The browser held the teacher's window back. Allow windows from this page, then press once more.";
const NARROW = 480; // px inside the panel; stage.css puts the dials of such a panel below each other

// Slider handles and typed boxes have no name of their own: give them the label of their row, which holds the unit.
function nameControls(root) {
  nameGroups(root);
  for (const row of root.querySelectorAll(".herb-dial")) {
    const label = row.querySelector(".widget-slider .widget-label, .herb-told-name")?.textContent?.trim();
    if (!label) continue;
    row.querySelector(".noUi-handle")?.setAttribute("aria-label", label);
    row.querySelector(".herb-twin input")?.setAttribute("aria-label", label + ", typed");
  }
  // The regions stay, their words change: that is what a screen reader listens to.
  const regions = { ".herb-say": "status", ".herb-sure": "status", ".herb-note": "status", ".herb-trouble": "alert" };
  for (const [place, role] of Object.entries(regions)) {
    for (const region of root.querySelectorAll(place + " .widget-html-content")) {
      if (region.getAttribute("role") !== role) region.setAttribute("role", role);
    }
  }
}

const element = (kind, name, text = "") => {
  const made = document.createElement(kind);
  made.className = name;
  made.textContent = text;
  return made;
};

export default {
  render({ model, el }) {
    const button = element("button", "herb-show jupyter-button lm-Widget", ENTER);
    const teacher = element("button", "herb-teacher jupyter-button lm-Widget", TEACHER);
    const trouble = element("span", "herb-stage-trouble");
    button.type = teacher.type = "button";
    trouble.setAttribute("role", "status");
    el.append(button, teacher, trouble);
    let root = null;
    let own = null; // the teacher's window
    let waiting = 0;
    let named = 0;
    let wake = () => {}; // ends the watch over Python

    // A key that was pressed beside everything marked the whole page (see `keys`); left so, Ctrl S would be dead.
    const free = () => document.body.removeAttribute("data-lm-suppress-shortcuts");
    const over = () => root.popover === "manual"; // the panel lies over the page, where the browser lends no screen
    const filling = () => root !== null && (over() || document.fullscreenElement === root);
    // Over everything else in the window: the browser's top layer is not trapped in the notebook's area.
    const cover = (on) => {
      root.popover = on ? "manual" : null;
      if (on) root.showPopover();
      tell();
    };
    const fill = async () => {
      try {
        await root.requestFullscreen();
      } catch {
        if (root.showPopover) cover(true);
        else trouble.textContent = NO_SCREEN;
      }
    };
    const leave = () => (over() ? cover(false) : document.exitFullscreen());
    const tell = () => {
      button.textContent = filling() ? LEAVE : ENTER;
      if (model.get("showing") !== filling()) {
        model.set("showing", filling());
        model.save_changes();
        // The space bar of a remote must not press the button that was pressed last.
        if (filling()) root.focus();
        else free();
      }
    };
    // What a remote sends: page keys and the space bar. A box being typed in keeps its own keys. What a key means is
    // decided in Python, which takes one after the other: two quick presses are two steps.
    const remote = (event) => {
      const typing = event.target.matches?.("input, textarea, select");
      const pressing = event.target.matches?.("button, summary, [role=slider]");
      if (event.ctrlKey || event.metaKey || event.altKey) return false;
      let key = "";
      if (event.key === "PageDown" || (event.key === " " && !typing && !pressing)) key = "forward";
      else if (event.key === "PageUp") key = "back";
      else if (typing) return false;
      else if (/^[1-9]$/.test(event.key)) key = event.key;
      else if (event.key === "Backspace") key = "undo";
      else if (event.key.toLowerCase() === "a") key = "pin";
      else if (event.key.toLowerCase() === "s") key = "sure";
      else return false;
      model.send({ key });
      return true;
    };
    const keys = (event) => {
      // The notebook looks for this mark on the focused element itself. With Ctrl, Alt or Meta held it keeps its keys
      // (saving, for one).
      if (!root?.contains(event.target) && !(filling() && event.target === document.body)) return;
      if (saveFrom(event)) return;
      if (event.key === "Escape" && filling()) leave();
      if (filling() && remote(event)) {
        event.preventDefault();
        event.stopImmediatePropagation();
        return;
      }
      const theirs = event.ctrlKey || event.metaKey || event.altKey;
      event.target.toggleAttribute("data-lm-suppress-shortcuts", !theirs);
    };

    const talk = () => {
      if (own && !own.closed) own.document.getElementById("line").textContent = model.get("teacher");
    };
    const openWindow = () => {
      trouble.textContent = "";
      own = window.open("", "herb-teacher", "popup,width=520,height=420");
      if (!own) {
        trouble.textContent = NO_WINDOW;
        return;
      }
      own.document.title = TEACHER;
      own.document.body.style.cssText = "font: 20px/1.5 sans-serif; margin: 24px; max-width: 32em";
      const line = own.document.createElement("p");
      line.id = "line";
      own.document.body.replaceChildren(line);
      own.onkeydown = (event) => {
        if (remote(event)) event.preventDefault();
      };
      talk();
      if (filling()) root.focus();
    };

    const look = () => {
      cancelAnimationFrame(named);
      named = requestAnimationFrame(() => nameControls(root));
    };
    const watch = new MutationObserver(look);
    // On a phone the picture is drawn another way; a panel out of sight has no width, and stays as it is.
    const measure = new ResizeObserver(([{ contentRect }]) => {
      const narrow = contentRect.width <= NARROW;
      if (contentRect.width && model.get("narrow") !== narrow) {
        model.set("narrow", narrow);
        model.save_changes();
      }
    });
    const find = () => {
      root = el.closest(".herb-panel");
      if (root === null) {
        waiting = requestAnimationFrame(find);
        return;
      }
      nameControls(root);
      root.tabIndex = -1;
      wake = watchSleep(model, root);
      // After a press of the mouse the next space bar of a remote is no second press of that button.
      root.addEventListener("click", (event) => {
        if (filling() && event.detail > 0 && event.target.closest("button")) root.focus();
      });
      watch.observe(root, { childList: true, subtree: true });
      measure.observe(root);
      tell();
    };

    button.addEventListener("click", () => {
      trouble.textContent = "";
      if (filling()) leave();
      else fill();
    });
    teacher.addEventListener("click", openWindow);
    document.addEventListener("fullscreenchange", tell);
    window.addEventListener("keydown", keys, true);
    model.on("change:teacher", talk);
    find();
    return () => {
      cancelAnimationFrame(waiting);
      cancelAnimationFrame(named);
      wake();
      if (filling()) free();
      watch.disconnect();
      measure.disconnect();
      document.removeEventListener("fullscreenchange", tell);
      window.removeEventListener("keydown", keys, true);
      model.off("change:teacher", talk);
    };
  },
};
