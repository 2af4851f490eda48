// The water entered where it is seen: a tap or a slide on the drawn glass, or a step of what the glass can show. The same
// value each way, and nothing is sent before the big key is pressed.

function makeGlass(panel, enter) {
  const figure = panel.querySelector(".here-figure");
  const key = panel.querySelector(".here-key");
  const tube = () => document.querySelector("[data-visible]");
  const step = Number(panel.dataset.step) || 1;
  const visible = Number(panel.dataset.visible);
  let tapped = null;
  // What was entered here and is not on the server's drawing yet.
  let pencil = null;

  const last = () => (panel.dataset.last === "" ? null : Number(panel.dataset.last));
  const places = step % 1 === 0 ? 0 : 1;
  const shown = (mm) => mm.toFixed(places);
  const value = () => tapped ?? last();

  function paint() {
    const mm = value();
    figure.textContent = mm === null ? "–" : shown(mm);
    key.disabled = mm === null;
    key.textContent = mm === null ? "Tap the glass" : tapped === null ? `Water as before ${shown(mm)} mm` : `Water here ${shown(mm)} mm`;
    draw();
  }

  // The line that was tapped, dashed over the drawing: pencil until it is entered.
  function draw() {
    const svg = tube()?.querySelector("svg");
    svg?.querySelector(".tapped")?.remove();
    const mm = tapped ?? pencil;
    if (!svg || mm === null) return;
    const line = document.createElementNS("http://www.w3.org/2000/svg", "line");
    const y = top(svg) + (1 - mm / visible) * tall(svg);
    for (const [name, at] of Object.entries({ x1: 34, x2: 76, y1: y, y2: y, class: "tapped" })) line.setAttribute(name, String(at));
    svg.append(line);
  }
  const top = () => Number(panel.dataset.margin);
  const tall = (svg) => svg.viewBox.baseVal.height - 2 * top();

  function take(mm) {
    const rounded = Math.round(Math.min(Math.max(mm, 0), visible) / step) * step;
    tapped = Number(rounded.toFixed(places));
    paint();
  }

  function at(event) {
    const svg = event.target.closest?.("[data-visible]")?.querySelector("svg");
    if (!svg) return;
    const box = svg.getBoundingClientRect();
    const y = ((event.clientY - box.top) / box.height) * svg.viewBox.baseVal.height;
    take((1 - (y - top()) / tall(svg)) * visible);
    document.body.dataset.mode = "water";
  }
  let held = false;
  document.addEventListener("pointerdown", (event) => {
    held = Boolean(event.target.closest?.("[data-visible]"));
    if (held) at(event);
  });
  document.addEventListener("pointermove", (event) => held && at(event));
  for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => (held = false));
  for (const button of panel.querySelectorAll("[data-step-by]")) {
    button.addEventListener("click", () => take((value() ?? visible / 2) + Number(button.dataset.stepBy) * step));
  }
  key.addEventListener("click", () => {
    if (value() !== null) enter(shown(value()));
  });
  paint();
  return {
    /** The server's drawing is new. */
    drawn(isAll) {
      if (isAll) pencil = null;
      paint();
    },
    /** It was entered: the next look begins from it. */
    entered(mm) {
      panel.dataset.last = mm;
      pencil = Number(mm);
      // A hand that has tapped anew meanwhile keeps its tap.
      if (tapped === Number(mm)) tapped = null;
      paint();
    },
  };
}
