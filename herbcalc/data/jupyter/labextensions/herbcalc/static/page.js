// What a page of the workbook says and does while Python is not there for it. JupyterLab loads this file as it stands:
// it is written in the shape that JupyterLab's own build gives to an extension, with nothing to build.
//
// 1. A cell that is run before Python is there waits for it; JupyterLab would empty the page and run nothing. Where it
//    does not come, what stands on the page stays.
// 2. A workbook that was stopped is told once, with the way to start it; JupyterLab would tell of its server, each time.
// 3. Boxes that speak of kernels say what happened and what would work.
// 4. Run All leaves the page where it is; JupyterLab would go to its last line.
// 5. A text cell that a double click has opened closes again when another cell is chosen; JupyterLab's setting for it
//    minds only the keyboard. And what is typed after that double click is written there; JupyterLab would open the text
//    and leave the keys outside.
// 6. The list of files is closed when the workbook opens, one press away; the start page has a list of its own. On a
//    phone the edges give their room to the page.
// 7. A slider keeps the arrow keys. When the notebook itself gets the focus (the menu Run closes), JupyterLab hands it
//    on to the chosen cell as soon as that one is drawn, were it seconds later and the focus long on a slider.
// 8. On the browser-only site the address names the notebook that is shown, so that a page loaded anew shows it again;
//    JupyterLite takes the name out of the address and would show its list of programs.

const WAKING = "One moment: the page is waking up. What you asked to run comes by itself.";
const AGAIN = "Close this box. Then choose Run, and Run All Cells. Your kept answers come back.";
const STOPPED = "The workbook has been stopped";
// Under JupyterHub the workbook runs on another computer, where a student can start nothing by a command.
const HUB = document.getElementById("jupyter-config-data")?.textContent.includes('"hubPrefix"');
const START = HUB
  ? "The computer that it runs on does not answer. Wait a moment: it may come back by itself. If not, go once more to " +
    "the address where you logged in; then close this page. Your kept answers come back."
  : "If the window where it was started is still open, wait a moment: it comes back by itself. If not, start it again by " +
    "its command, python3 -m herbcalc (on Windows: py -m herbcalc). It opens a page of its own; then close this one. " +
    "Your kept answers come back.";
const PATIENCE = 3000; // ms between two looks whether the workbook was stopped
// On the browser-only site Python runs in the page itself, and there is nothing that could have been stopped.
const SITE = document.querySelector("[data-jupyter-lite-root]") !== null;

// How JupyterLab's title of a box begins and a part of its words; what stands there instead. Other boxes stay.
const BOXES = [
  ["Kernel Restarting", "", "This page has fallen asleep", AGAIN],
  ["Kernel Terminating", "", "This page is just being closed down", "Wait a moment. " + AGAIN],
  [
    "Restart Kernel?",
    "",
    "Begin this page anew?",
    "Kept answers and settings stay. The page wakes up again by Run, Run All Cells.",
  ],
  [
    "File Changed",
    "",
    "This page is open twice",
    "It was saved in another window as well. Overwrite keeps the page as you see it here, Revert takes the other. Your " +
      "kept answers stay, whichever you choose.",
  ],
  [
    "Save your work",
    "",
    "Close this page?",
    "Your kept answers stay, whichever you choose. Save also keeps what you wrote on the page itself.",
  ],
  ["File Save Error", "Failed to fetch", "This page could not be saved", STOPPED + ". " + START],
];

// ms in which a box with the words of the last one is the same news of another open page; a slow computer needs some
const SOON = 10000;
let last = { words: "", closed: 0 };

// A box that says once more what the last has said, of another page: each page says it itself, where it is looked at.
const once = (box, words) => {
  if (words === last.words && performance.now() - last.closed < SOON) box.querySelector(".jp-mod-accept")?.click();
  const gone = new MutationObserver(() => {
    if (box.isConnected) return;
    last = { words, closed: performance.now() };
    gone.disconnect();
  });
  gone.observe(document.body, { childList: true });
};

// Put our words into a box; true where that was done.
const reword = (box) => {
  const title = box.querySelector(".jp-Dialog-header");
  const body = box.querySelector(".jp-Dialog-body");
  const [, , words, more] =
    BOXES.find(([start, part]) => title?.textContent.startsWith(start) && body?.textContent.includes(part)) ?? [];
  if (!words) return false;
  // What it would ask for is forgotten easily, and then a page begins anew at one press.
  for (const never of box.querySelectorAll(".jp-Dialog-checkbox")) never.style.display = "none";
  title.firstChild.textContent = words;
  body.textContent = more;
  box.setAttribute("aria-label", `${words}. ${more}`);
  if (more === AGAIN) once(box, words);
  return true;
};

// A box comes onto the page empty and is filled a moment later.
const rewordWhenFilled = (box) => {
  if (!box.matches?.(".jp-Dialog")) return;
  const filled = new MutationObserver(() => {
    if (reword(box)) filled.disconnect();
  });
  filled.observe(box, { childList: true, subtree: true, characterData: true });
};

const closeTexts = (notebook, chosen) => {
  for (const cell of notebook.widgets) if (cell.model.type === "markdown" && cell !== chosen) cell.rendered = true;
};

const writeOn = (notebook) => {
  const cell = notebook.activeCell;
  if (cell?.model.type === "markdown" && !cell.rendered) notebook.mode = "edit";
};

// Run All as it is, without its way to the end of the page.
const staying = (runAll) => (notebook, ...more) => {
  const chosen = notebook.activeCellIndex;
  notebook.scrollToItem = async () => {};
  const run = runAll(notebook, ...more);
  delete notebook.scrollToItem;
  notebook.activeCellIndex = chosen;
  return run;
};

// On a narrow page: no room for the numbers of cells, and little at the edges.
const NARROW = "(max-width: 700px)";
const LOOK = `@media ${NARROW} {
  .jp-Notebook { --jp-cell-prompt-width: 0px; --jp-notebook-padding: 2px; --jp-cell-padding: 4px; --jp-cell-collapser-width: 4px; }
  .jp-Notebook .jp-InputPrompt, .jp-Notebook .jp-OutputPrompt { display: none; }
  .jp-Notebook .jp-RenderedHTMLCommon { overflow-wrap: anywhere; }
  .jp-Notebook .jp-Placeholder * { min-width: 0; overflow: hidden; }
}
@media (pointer: coarse) { .jp-Notebook .jp-RenderedMarkdown a { display: inline-block; padding: 11px 0; min-width: 44px; } }`;

const giveRoom = async (app, shell) => {
  const look = document.createElement("style");
  look.textContent = LOOK;
  document.head.append(look);
  await app.restored;
  shell.collapseLeft();
  if (!matchMedia(NARROW).matches) return;
  shell.collapseRight();
  if (shell.isSideTabBarVisible("right")) shell.toggleSideTabBarVisibility("right");
};

// JupyterLab's own answer to the focus on the notebook itself, but that it looks, once the cell is drawn, whether the
// focus is still there.
const handOn = (notebook, event) => {
  if (event.target !== notebook.node || !notebook.activeCell || notebook.activeCell.node.contains(event.relatedTarget)) return;
  event.stopImmediatePropagation();
  notebook.setMode("command", { focus: false });
  notebook.activeCell.ready.then(() => {
    if (document.activeElement === notebook.node) notebook.activeCell.node.focus({ preventScroll: true });
  });
};

// Put the name of the notebook that is shown into the address, once it has been read.
const nameInAddress = async (_, panel) => {
  await panel?.context.ready;
  if (!panel || panel.isDisposed) return;
  const address = new URL(location.href);
  address.searchParams.set("path", panel.context.path);
  history.replaceState(history.state, "", address);
};

const pause = (time) => new Promise((next) => setTimeout(next, time));

const until = async (so) => {
  while (!so()) await pause(100);
};

// Whether the program that was started by its command is there at all, however slow the computer is.
const answers = async ({ sessionManager }) => {
  if (SITE) return true;
  try {
    await fetch(`${sessionManager.serverSettings.baseUrl}api`);
    return true;
  } catch {
    return false; // nobody listens at that door
  }
};

const plugins = (shared) => {
  const { INotebookCellExecutor, INotebookTracker, NotebookActions, runCell } = shared["@jupyterlab/notebook"];
  const { IConnectionLost, ILabShell } = shared["@jupyterlab/application"];
  const { Dialog, showDialog } = shared["@jupyterlab/apputils"];
  const { Widget } = shared["@lumino/widgets"];
  let notebooks = null;
  let box = null; // the one that tells that the workbook was stopped, while it is open
  let told = false;
  const answered = new WeakSet(); // the kernels that have
  const waking = new WeakMap(); // a page whose kernel is waited for, and the promise of it

  const tellStopped = async () => {
    told = true;
    box ??= showDialog({ title: STOPPED, body: START, buttons: [Dialog.okButton({ label: "Close this box" })] });
    await box;
    box = null;
  };

  // A line over the notebook, read aloud, while `work` goes on.
  const saying = async (session, words, work) => {
    const panel = notebooks?.find((one) => one.sessionContext === session);
    const line = new Widget();
    line.node.className = "herb-waking";
    line.node.setAttribute("role", "status");
    line.node.style.cssText = "padding: 8px 12px; min-height: 40px; font-weight: bold; border-bottom: 3px solid";
    panel?.contentHeader.addWidget(line);
    line.node.textContent = words;
    try {
      return await work;
    } finally {
      line.dispose();
    }
  };

  const there = ({ session, isTerminating }) =>
    !isTerminating &&
    answered.has(session?.kernel) &&
    !["restarting", "autorestarting", "terminating", "dead"].includes(session.kernel.status) &&
    session.kernel.connectionStatus === "connected";

  // Wait until a kernel has answered; one that has died or was shut down is started again. True where it is there.
  const come = async (page) => {
    await page.ready;
    await until(() => !page.isTerminating);
    if (page.session?.kernel?.status === "dead") await page.restartKernel();
    if (!page.session?.kernel) await page.startKernel();
    const kernel = page.session?.kernel;
    if (!kernel) return false;
    await kernel.info;
    answered.add(kernel);
    await until(() => there(page));
    return true;
  };

  // A slow computer is waited for as long as it takes; a workbook that was stopped is not.
  const wake = async (page) => {
    const coming = come(page);
    for (;;) {
      const came = await Promise.race([coming, pause(PATIENCE)]);
      if (came !== undefined) return came;
      if (!(await answers(page))) {
        await tellStopped();
        return false;
      }
    }
  };

  const awake = async (page) => {
    if (there(page)) return true;
    if (!waking.has(page)) {
      const work = saying(page, WAKING, wake(page)).finally(() => waking.delete(page));
      waking.set(page, work);
    }
    return waking.get(page);
  };

  return [
    {
      id: "herbcalc:cell-executor",
      description: "Runs a cell once Python is there.",
      autoStart: true,
      provides: INotebookCellExecutor,
      activate: () => ({
        runCell: async (asked) => {
          const { cell, sessionContext } = asked;
          const panel = notebooks?.find((one) => one.sessionContext === sessionContext);
          await panel?.context.ready;
          // Run All was chosen before the notebook was read: what it found was the empty cell that stands there at first.
          if (cell.isDisposed) return panel ? NotebookActions.runAll(panel.content, sessionContext) : false;
          const page = cell.model.type === "code" ? sessionContext : null;
          return !page || (await awake(page)) ? runCell(asked) : false;
        },
      }),
    },
    {
      id: "herbcalc:connection-lost",
      description: "Tells once that the workbook was stopped.",
      autoStart: true,
      provides: IConnectionLost,
      activate: () => async () => {
        if (!told) await tellStopped();
      },
    },
    {
      id: "herbcalc:room",
      description: "Opens the workbook with its lists closed.",
      autoStart: true,
      optional: [ILabShell],
      activate: (app, shell) => {
        if (shell) giveRoom(app, shell);
      },
    },
    {
      id: "herbcalc:page",
      description: "Says in plain words what goes on when Python is not there.",
      autoStart: true,
      optional: [INotebookTracker],
      activate: (_, tracker) => {
        notebooks = tracker;
        NotebookActions.runAll = staying(NotebookActions.runAll);
        if (SITE) tracker?.currentChanged.connect(nameInAddress);
        tracker?.widgetAdded.connect((_, { content }) => {
          content.activeCellChanged.connect(closeTexts);
          content.node.addEventListener("dblclick", () => setTimeout(() => writeOn(content)));
          content.node.addEventListener("focusin", (event) => handOn(content, event), true);
        });
        new MutationObserver((records) => {
          for (const { addedNodes } of records) for (const node of addedNodes) rewordWhenFilled(node);
        }).observe(document.body, { childList: true });
      },
    },
  ];
};

let scope = {};

// Of what JupyterLab lends to its extensions: the newest of each name.
const borrowed = async (name) => {
  const versions = Object.values(scope[name] ?? {});
  if (!versions.length) throw new Error(`JupyterLab does not lend ${name}`);
  return (await versions.at(-1).get())();
};

(globalThis._JUPYTERLAB ??= {}).herbcalc = {
  init: (lent) => {
    scope = lent;
  },
  get: async () => {
    const names = ["@jupyterlab/notebook", "@jupyterlab/application", "@jupyterlab/apputils", "@lumino/widgets"];
    const shared = Object.fromEntries(await Promise.all(names.map(async (name) => [name, await borrowed(name)])));
    const extension = { __esModule: true, default: plugins(shared) };
    return () => extension;
  },
};
