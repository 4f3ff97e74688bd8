// Improves the pages of a style: line numbers and a live preview while a text is edited, the
// cursor put where a fault is, unsaved text kept on this device; and a run through all clients
// that goes on by itself.
"use strict";

const form = document.querySelector("form[data-style]");
if (form) {
  const box = form.elements.text;
  const place = "bodkin.style." + form.dataset.style;
  const shown = document.getElementById("preview");
  const faults = document.getElementById("faults");
  const unsent = document.querySelector("[data-unsent]");
  const first = box.value;

  // Line numbers beside the text, only to be looked at.
  const numbers = document.createElement("div");
  numbers.className = "numbers";
  numbers.setAttribute("aria-hidden", "true");
  box.before(numbers);
  let counted = 0;
  const count = () => {
    const lines = box.value.split("\n").length;
    if (lines !== counted) {
      numbers.textContent = Array.from({ length: lines }, (_, line) => line + 1).join("\n") + "\n\n";
      counted = lines;
    }
    numbers.scrollTop = box.scrollTop;
  };
  box.addEventListener("scroll", () => { numbers.scrollTop = box.scrollTop; });
  count();

  const goTo = (line, column) => {
    const lines = box.value.split("\n");
    const before = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0);
    // Columns count signs as people do; the box counts some of them twice.
    const at = before + [...(lines[line - 1] || "")].slice(0, column - 1).join("").length;
    box.focus();
    box.setSelectionRange(at, Math.min(at + 1, before + (lines[line - 1] || "").length));
    const height = parseFloat(getComputedStyle(box).lineHeight) || 20;
    box.scrollTop = Math.max(0, (line - 6) * height);
  };
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-line]");
    if (!link) return;
    event.preventDefault();
    goTo(Number(link.dataset.line), Number(link.dataset.column));
  });

  // The preview of the server, without leaving the page. A text with a fault says where; the
  // drawing before it stays.
  let asked = 0;
  let waiting = 0;
  const preview = async () => {
    clearTimeout(waiting);
    const mine = ++asked;
    const fields = new URLSearchParams(new FormData(form));
    fields.set("do", "preview");
    shown.setAttribute("aria-busy", "true");
    const answer = await fetch(form.action, { method: "POST", body: fields, headers: { accept: "text/html" } }).catch(() => null);
    if (mine !== asked) return;
    shown.removeAttribute("aria-busy");
    if (answer && answer.status === 413) {
      say("The text is too long: at most 200,000 bytes are read. It is still here; shorten it.");
      return;
    }
    if (!answer || !answer.ok) {
      say("bodkin does not answer. Your text is still here; look whether the program is open.");
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const [now, then] = [page.getElementById("faults"), page.getElementById("preview")];
    const on = page.querySelector("fieldset.on");
    if (mine !== asked || !now || !then) return;
    const has = now.querySelector("#fault");
    faults.replaceChildren(...now.childNodes);
    const wrong = Boolean(has && has.querySelector("[data-line]"));
    box.setAttribute("aria-invalid", String(wrong));
    box.closest(".field").classList.toggle("wrong", wrong);
    // The drawing before a fault stays, paler.
    shown.classList.toggle("older", Boolean(has));
    if (!has) {
      const open = [...shown.querySelectorAll("details")].map((part) => part.open);
      then.querySelectorAll("details").forEach((part, at) => { part.open = open[at] || false; });
      shown.replaceChildren(...then.childNodes);
    }
    // Whoever was looked for can be chosen now.
    const old = document.querySelector("fieldset.on");
    if (on && document.activeElement?.id !== "who" && values(on) !== values(old)) {
      const focused = old.contains(document.activeElement) ? document.activeElement.value : null;
      old.replaceWith(on);
      [...on.querySelectorAll("input[type=radio]")].find((one) => one.value === focused)?.focus();
    }
  };
  const values = (part) => [...part.querySelectorAll("input[type=radio]")].map((one) => one.value).join() + part.querySelector(".hint").textContent;
  const say = (words) => {
    const note = document.createElement("p");
    note.className = "warned";
    note.setAttribute("role", "alert");
    note.textContent = words;
    faults.replaceChildren(note);
  };
  form.querySelector("button[value=preview]").addEventListener("click", (event) => {
    event.preventDefault();
    document.activeElement?.blur();
    preview();
  });
  form.addEventListener("change", (event) => {
    if (event.target.name === "on") preview();
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.id !== "who") return;
    event.preventDefault();
    event.target.blur();
    preview();
  });

  // What is not kept yet stays on this device.
  const keep = () => {
    try {
      if (box.value === first) localStorage.removeItem(place);
      else localStorage.setItem(place, box.value);
    } catch { /* no room: the box itself still holds everything */ }
  };
  box.addEventListener("input", () => {
    count();
    keep();
    clearTimeout(waiting);
    waiting = setTimeout(preview, 400);
  });
  form.addEventListener("submit", () => {
    try { sessionStorage.setItem("bodkin.sent", place); } catch { /* it is offered again then */ }
  });
  let held = null;
  try { held = localStorage.getItem(place); } catch { held = null; }
  if (held && held !== first && unsent && !document.querySelector("main > .wrongs")) {
    unsent.textContent = "Changes that were not kept are still on this device. ";
    const row = document.createElement("span");
    row.className = "row";
    for (const [words, kind, act] of [
      ["Put them back", "", () => { box.value = held; count(); preview(); }],
      ["Throw them away", "quiet", () => localStorage.removeItem(place)],
    ]) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = kind;
      button.textContent = words;
      button.addEventListener("click", () => { act(); unsent.hidden = true; box.focus(); });
      row.append(button);
    }
    unsent.append(row);
    unsent.hidden = false;
  }
}

// All clients: batch after batch, adding up, until the end or until it is stopped.
const run = document.querySelector("[data-everyone]");
if (run && run.dataset.next && !location.search) {
  const further = run.querySelector("[data-further]");
  const progress = run.querySelector("[data-progress]");
  let stopped = false;
  const stop = document.createElement("button");
  stop.type = "button";
  stop.className = "quiet";
  stop.textContent = "Stop here";
  stop.addEventListener("click", () => { stopped = true; });
  further.hidden = true;
  further.after(stop);

  const add = (page) => {
    for (const cell of page.querySelectorAll("[data-sum]")) {
      const sum = run.querySelector(`[data-sum="${cell.dataset.sum}"]`);
      sum.textContent = Number(sum.textContent) + Number(cell.textContent);
    }
    for (const list of page.querySelectorAll("[data-list]")) {
      const mine = run.querySelector(`[data-list="${list.dataset.list}"]`);
      mine.hidden = mine.hidden && list.hidden;
      mine.querySelector("ul")?.append(...list.querySelectorAll("ul > li"));
      for (const row of list.querySelectorAll("[data-measure]")) {
        const same = [...mine.querySelectorAll("[data-measure]")].find((one) => one.dataset.measure === row.dataset.measure);
        if (!same) mine.querySelector("tbody").append(row);
        else same.querySelector("td").textContent = Number(same.querySelector("td").textContent) + Number(row.querySelector("td").textContent);
      }
    }
  };
  const on = async () => {
    let next = run.dataset.next;
    while (next && !stopped) {
      const answer = await fetch(`/styles/${run.dataset.everyone}/everyone?from=${next}`).catch(() => null);
      if (!answer || !answer.ok) break;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-everyone]");
      if (!page) break;
      add(page);
      next = page.dataset.next;
      progress.textContent = next ? `Clients 1 to ${next} of ${run.dataset.all}, by name; going on.` : `All ${run.dataset.all} clients.`;
    }
    stop.remove();
    if (next) {
      progress.textContent = `Stopped after client ${next} of ${run.dataset.all}, by name.`;
      further.href = `/styles/${run.dataset.everyone}/everyone?from=${next}`;
      further.hidden = false;
    }
  };
  on();
}
