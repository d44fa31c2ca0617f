// The little that a browser must do for a card: say the groups by name, read aloud what is answered, lead on to the
// next card, and keep the notebook's own keys away while something on the card has the focus. Everything else is done
// in Python.

// The homework card that follows on the same page; none where this is the last.
function following(card) {
  const cards = [...(card.closest(".jp-Notebook")?.querySelectorAll(".herb-card[data-herb-item]") ?? [])];
  return cards[cards.indexOf(card) + 1];
}

// The link on the page that leads to a notebook; the notebook's own way of opening it comes with it.
function linkTo(page, card) {
  const links = [...(card.closest(".jp-Notebook")?.querySelectorAll(".jp-RenderedMarkdown a") ?? [])];
  const [folder, number] = page.split("/");
  return links.find((link) => {
    const to = decodeURIComponent(`${link.getAttribute("href")} ${link.dataset.commandlinkerArgs ?? ""}`);
    return to.includes(`/${number}`) && (to.includes(`${folder}/`) || !/(workbook|exercises)\//.test(to));
  });
}

// The button says what comes next on this page; where no card does, what Python said; without a way there, in words.
function nameNext(card) {
  for (const button of card.querySelectorAll(".herb-next")) {
    const next = following(card);
    const words = next ? `Next: ${next.dataset.herbItem}` : button.dataset.words;
    if (button.textContent !== words) button.textContent = words;
    button.disabled = !next && !linkTo(button.dataset.page, card);
  }
}

function goOn(button, card) {
  const next = following(card);
  if (!next) return linkTo(button.dataset.page, card)?.click();
  const show = () => next.scrollIntoView({ block: "start" });
  show();
  // The card itself: what listens says its name, and the question is the next that it reads.
  next.tabIndex = -1;
  next.focus({ preventScroll: true });
  next.addEventListener("blur", () => next.removeAttribute("tabindex"), { once: true });
  requestAnimationFrame(show); // what was out of sight has its own height only now
}

// Lesson and exercises have one file name: the tab of an open exercise notebook says which it is.
function nameTab(card) {
  const panel = card.closest(".jp-NotebookPanel");
  const tab = panel && document.querySelector(`.lm-TabBar-tab[data-id="${panel.id}"]`);
  const number = tab?.title.match(/exercises\/0*(\d+)_/)?.[1];
  const label = tab?.querySelector(".lm-TabBar-tabLabel");
  if (!number || !label) return;
  const words = `Exercises ${number}`;
  if (label.textContent !== words) label.textContent = words;
  if (!tab.title.startsWith(words)) tab.title = `${words}\n${tab.title}`;
}

const SILENCE = 500; // ms after a press in which what is said has not changed: it is the same as before

// What is said after a press may stand below the window: it is brought into view, with the way on where that fits.
function bringIntoView(card) {
  for (const place of [card.querySelector(".herb-next"), card.querySelector(".herb-live")]) {
    place?.scrollIntoView({ block: "nearest" });
  }
}

function name(card, points, item) {
  if (item) {
    card.dataset.herbItem = item;
    card.setAttribute("role", "group");
    card.setAttribute("aria-label", `Question ${item}`);
    nameNext(card);
    nameTab(card);
  } else if (card.querySelector("h2, h3")) {
    card.setAttribute("role", "group"); // its Check is told from that of the next by the name of its card
    card.setAttribute("aria-label", card.querySelector("h2, h3").textContent);
  }
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
    let wake = () => {}; // ends the watch over Python
    let heard = ""; // what was said last
    let asked = 0; // somebody has pressed something here since, and waits
    const ask = () => {
      clearTimeout(asked);
      asked = setTimeout(() => heard && bringIntoView(card), SILENCE);
    };
    const said = () => card.querySelector(".herb-live")?.textContent ?? "";
    const watch = new MutationObserver(() => {
      cancelAnimationFrame(named);
      named = requestAnimationFrame(() => {
        name(card, model.get("points"), model.get("item"));
        if (said() === heard) return;
        heard = said();
        if (asked) bringIntoView(card);
        clearTimeout(asked);
        asked = 0;
      });
    });
    const pressed = (event) => {
      const button = event.target.closest?.("button");
      if (!button || !card?.contains(button)) return;
      if (button.matches(".herb-next")) goOn(button, card);
      else ask();
    };
    const changed = (event) => {
      if (card?.contains(event.target)) asked ||= setTimeout(() => (asked = 0), SILENCE);
    };
    const keys = (event) => {
      // With Ctrl, Alt or Meta held, the notebook keeps its keys (saving, for one).
      if (!card?.contains(event.target) || saveFrom(event)) return;
      // What was typed goes out before the Enter that asks about it.
      if (event.key === "Enter" && event.target.matches("input[type=text]")) {
        event.target.dispatchEvent(new Event("change", { bubbles: true }));
        ask();
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
      name(card, model.get("points"), model.get("item"));
      heard = said();
      watch.observe(card, { childList: true, subtree: true });
      wake = watchSleep(model, card);
    };
    window.addEventListener("keydown", keys, true);
    window.addEventListener("click", pressed);
    window.addEventListener("change", changed);
    find();
    return () => {
      cancelAnimationFrame(waiting);
      cancelAnimationFrame(named);
      clearTimeout(asked);
      watch.disconnect();
      wake();
      window.removeEventListener("keydown", keys, true);
      window.removeEventListener("click", pressed);
      window.removeEventListener("change", changed);
    };
  },
};
