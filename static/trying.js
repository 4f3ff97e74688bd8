// The page of a search for a shorter lay: hears of each one as it is found. Without this the
// page refreshes itself and shows the same.
"use strict";

for (const page of document.querySelectorAll("[data-trying]")) {
  const MOST_LINES = 8;
  const list = page.querySelector("[data-found]");
  const picture = page.querySelector("[data-picture]");
  let step = Number(page.querySelector("[data-step]")?.value ?? 0);

  const told = (event) =>
    Object.fromEntries(event.data.split("\n").map((line) => {
      const at = line.indexOf(": ");
      return [line.slice(0, at), line.slice(at + 2)];
    }));
  const write = (values) => {
    for (const place of page.querySelectorAll("[data-told]")) {
      const value = values[place.dataset.told];
      if (value !== undefined && place.textContent !== value) place.textContent = value;
    }
    // A lay that is longer than the cloth is not the main thing to do.
    const accept = page.querySelector("button[data-told=accept]");
    accept?.classList.toggle("quiet", values.accept !== "Accept this lay");
    page.querySelector("[data-left]")?.setAttribute("width", values.left);
  };

  const source = new EventSource(page.dataset.trying);
  source.addEventListener("still", (event) => write(told(event)));
  source.addEventListener("shorter", (event) => {
    const values = told(event);
    if (Number(values.step) <= step) return;
    step = Number(values.step);
    write(values);
    for (const box of page.querySelectorAll("[data-step]")) box.value = values.step;
    if (picture) picture.src = `${picture.dataset.picture}${values.step}`;
    const line = document.createElement("li");
    line.textContent = values.line;
    list?.prepend(line);
    list?.setAttribute("start", values.step);
    while (list && list.children.length > MOST_LINES) list.lastElementChild.remove();
    for (const none of page.querySelectorAll("[data-none]")) none.hidden = true;
  });
  // What it came to stands on the page as the server writes it.
  source.addEventListener("ended", () => {
    source.close();
    location.reload();
  });
  addEventListener("pagehide", () => source.close());
}
