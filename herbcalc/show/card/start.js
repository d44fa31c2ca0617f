// After Run All Cells a notebook may stand at its last cell. Somebody who has just woken the start page is to begin at
// its top, and somebody who has been here before at the path; once, and never again when the page is opened anew while
// Python still runs.
export default {
  render({ model, el }) {
    if (model.get("awake")) return undefined;
    model.set("awake", true);
    model.save_changes();
    let waiting = 0;
    const up = () => {
      const notebook = el.closest(".jp-Notebook");
      if (notebook === null) {
        waiting = requestAnimationFrame(up);
        return;
      }
      (notebook.querySelector(".jp-WindowedPanel-outer") ?? notebook).scrollTop = 0;
      if (model.get("known")) el.closest(".jp-Cell").scrollIntoView(); // the path stands right below it
    };
    up();
    return () => cancelAnimationFrame(waiting);
  },
};
