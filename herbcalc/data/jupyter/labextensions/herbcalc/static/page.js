// What a page of the workbook says and does while Python is not there for it. JupyterLab loads this file as it stands:
// it is written in the shape that JupyterLab's own build gives to an extension, with nothing to build.
//
// 1. A cell that is run before Python is there waits for it; JupyterLab would empty the page and run nothing. Where it
//    does not come, what stands on the page stays.
// 2. A workbook that was stopped is told once, with the way to start it; JupyterLab would tell of its server, each time.
// 3. Boxes that speak of kernels say what happened and what would work.
// 4. A text cell that a double click has opened closes again when another cell is chosen; JupyterLab's setting for it
//    minds only the keyboard. And what is typed after that double click is written there; JupyterLab would open the text
//    and leave the keys outside.

const WAKING = "One moment: the page is waking up. What you asked to run comes by itself.";
const AGAIN = "Close this box. Then choose Run, and Run All Cells. Your kept answers come back.";
const STOPPED = "The workbook has been stopped";
const START =
  "If the window where it was started is still open, wait a moment: it comes back by itself. If not, start it again by " +
  "its command, python3 -m herbcalc (on Windows: py -m herbcalc). It opens a page of its own; then close this one. " +
  "Your kept answers come back.";
const PATIENCE = 3000; // ms between two looks whether the workbook was stopped

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
  ["File Save Error", "Failed to fetch", "This page could not be saved", STOPPED + ". " + START],
];

// Put our words into a box; true where that was done.
const reword = (box) => {
  const title = box.querySelector(".jp-Dialog-header");
  const body = box.querySelector(".jp-Dialog-body");
  const [, , words, more] =
    BOXES.find(([start, part]) => title?.textContent.startsWith(start) && body?.textContent.includes(part)) ?? [];
  if (!words) return false;
  title.firstChild.textContent = words;
  body.textContent = more;
  box.setAttribute("aria-label", `${words}. ${more}`);
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

const pause = (time) => new Promise((next) => setTimeout(next, time));

const until = async (so) => {
  while (!so()) await pause(100);
};

// Whether the program that was started by its command is there at all, however slow the computer is.
const answers = async ({ sessionManager }) => {
  try {
    await fetch(`${sessionManager.serverSettings.baseUrl}api`);
    return true;
  } catch {
    return false; // nobody listens at that door
  }
};

const plugins = (shared) => {
  const { INotebookCellExecutor, INotebookTracker, NotebookActions, runCell } = shared["@jupyterlab/notebook"];
  const { IConnectionLost } = shared["@jupyterlab/application"];
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
      id: "herbcalc:page",
      description: "Says in plain words what goes on when Python is not there.",
      autoStart: true,
      optional: [INotebookTracker],
      activate: (_, tracker) => {
        notebooks = tracker;
        tracker?.widgetAdded.connect((_, { content }) => {
          content.activeCellChanged.connect(closeTexts);
          content.node.addEventListener("dblclick", () => setTimeout(() => writeOn(content)));
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
