// Tells Python when a card comes into view again: elsewhere, or further up, something may have been answered since.
export default {
  render({ model, el }) {
    let waiting = 0;
    let away = false;
    const watch = new IntersectionObserver((seen) => {
      const now = seen.at(-1).isIntersecting;
      if (now && away) model.send({ seen: true });
      away = !now;
    });
    const find = () => {
      const cell = el.closest(".jp-Cell");
      if (cell) watch.observe(cell);
      else waiting = requestAnimationFrame(find);
    };
    find();
    return () => {
      cancelAnimationFrame(waiting);
      watch.disconnect();
    };
  },
};
