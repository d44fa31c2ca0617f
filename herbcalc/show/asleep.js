// Whether Python is still there for what stands on the page; put before card.js, stage.js and greeting.js, which ask.

const ASLEEP = "This page has fallen asleep: choose Run, then Run All Cells. Your kept answers come back.";
// Under JupyterHub the workbook runs on another computer, where a student can start nothing by a command.
const HUB = document.getElementById("jupyter-config-data")?.textContent.includes('"hubPrefix"');
const STOPPED =
  "The workbook has been stopped, or this computer was asleep. " +
  (HUB
    ? "Go once more to the address where you logged in. "
    : "Start it again by its command, python3 -m herbcalc (on Windows: py -m herbcalc). ") +
  "Your kept answers come back.";
// What a kernel is called that will answer nothing more of what is shown now; a cell that is run again shows anew.
const GONE = ["restarting", "autorestarting", "terminating", "dead"];
const PATIENCE = 3000; // ms that a broken line may take to come back by itself

// Say so at the top of `root` as soon as Python has gone; gives what ends the watch.
function watchSleep(model, root) {
  const session = model.widget_manager?.context?.sessionContext;
  const line = document.createElement("p");
  line.className = "herb-asleep";
  line.setAttribute("role", "alert"); // there from the start and empty: its words are read aloud when they come
  root.append(line); // the style sets it on top: before the widgets it would put each that comes later out of place
  let gone = false;
  let broken = 0;
  const say = (words) => {
    if (line.textContent !== words) line.textContent = words;
    root.toggleAttribute("data-asleep", words !== "");
  };
  // Who presses something that can do nothing sees why, however far up the line stands.
  const show = () => line.textContent && line.scrollIntoView({ block: "nearest" });
  root.addEventListener("click", show);
  root.addEventListener("change", show);
  const leave = () => {
    gone = true;
    say(ASLEEP);
  };
  const status = (_, now) => {
    if (GONE.includes(now)) leave();
  };
  const connection = (_, now) => {
    clearTimeout(broken);
    if (now === "connected") say(gone ? ASLEEP : "");
    else broken = setTimeout(() => say(STOPPED), PATIENCE);
  };
  // The widgets' own mark, for a front end that does not lend us its session.
  const marked = () => {
    if (!gone && root.matches(".jupyter-widgets-disconnected, :has(.jupyter-widgets-disconnected)")) leave();
  };
  const watch = new MutationObserver(marked);
  watch.observe(root, { subtree: true, attributes: true, attributeFilter: ["class"] });
  session?.statusChanged.connect(status);
  session?.kernelChanged.connect(leave);
  session?.connectionStatusChanged.connect(connection);
  return () => {
    clearTimeout(broken);
    line.remove();
    watch.disconnect();
    root.removeEventListener("click", show);
    root.removeEventListener("change", show);
    session?.statusChanged.disconnect(status);
    session?.kernelChanged.disconnect(leave);
    session?.connectionStatusChanged.disconnect(connection);
  };
}
