// A place to choose one file. One that is larger than any result file is told by its size, and is not sent.
export default {
  render({ model, el }) {
    const label = document.createElement("label");
    const input = document.createElement("input");
    input.type = "file";
    label.append(model.get("label"), " ", input);
    el.classList.add("herb-choose");
    el.append(label);
    input.addEventListener("click", () => (input.value = "")); // so that the same file can be chosen again
    input.addEventListener("change", async () => {
      const file = input.files[0];
      if (!file) return;
      const turn = model.get("turn") + 1;
      let held = new ArrayBuffer(0);
      try {
        if (file.size <= model.get("largest")) held = await file.arrayBuffer();
      } catch {
        // what cannot be read comes empty, with its size, and Python says so
      }
      model.set({ name: file.name, size: file.size, content: new DataView(held), turn });
      model.save_changes();
    });
  },
};
