// The strip of what was shown already: small pictures, each a button that goes back to it.

function draw(el, model) {
  const buttons = model.get("shown").map(([name, svg], place) => {
    const button = document.createElement("button");
    button.className = "herb-shown";
    button.type = "button";
    button.title = name;
    button.setAttribute("aria-label", `Back to: ${name}`);
    button.innerHTML = svg; // our own drawing, made in Python
    button.firstElementChild?.setAttribute("aria-hidden", "true");
    button.addEventListener("click", () => model.send({ open: place }));
    return button;
  });
  el.replaceChildren(...buttons);
  el.hidden = buttons.length === 0;
}

export default {
  render({ model, el }) {
    const again = () => draw(el, model);
    el.classList.add("herb-strip");
    el.setAttribute("role", "group");
    el.setAttribute("aria-label", "Shown already");
    model.on("change:shown", again);
    again();
    return () => model.off("change:shown", again);
  },
};
