// The first line of a page while Python is there for it; below it would be said that it has gone.

export default {
  render({ model, el }) {
    el.classList.add("herb-greeting");
    const lines = model.get("lines").map((text) => {
      const line = document.createElement("p");
      line.textContent = text;
      return line;
    });
    const said = document.createElement("div");
    said.setAttribute("role", "status");
    said.append(...lines);
    el.append(said);
    return watchSleep(model, el);
  },
};
