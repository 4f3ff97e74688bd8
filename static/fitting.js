// Improves the fitting form: the length as read beside each box, the tape's
// doubts as one types, and an unsent fitting that is kept on this device.
"use strict";

const form = document.querySelector("form[data-fitting]");
if (form) {
  const place = "bodkin.fitting." + form.dataset.fitting + "." + (form.elements.garment?.value || "");
  const unsent = document.querySelector("[data-unsent]");

  const typed = () => {
    const fields = [];
    for (const [name, value] of new FormData(form)) {
      if (value && !(name.startsWith("e.") && value === "0")) fields.push([name, value]);
    }
    return fields;
  };
  const isMeasured = (fields) => fields.some(([name]) => name.startsWith("m.") || name.startsWith("e."));

  // Kept as one goes; a fitting that was sent is cleared by the page it leads to.
  const keep = () => {
    const fields = typed();
    try {
      if (isMeasured(fields)) localStorage.setItem(place, JSON.stringify(fields));
      else localStorage.removeItem(place);
    } catch { /* no room: the form itself still holds everything */ }
  };

  const putBack = (fields) => {
    for (const box of form.querySelectorAll("input[type=checkbox]")) box.checked = false;
    for (const [name, value] of fields) {
      const found = form.elements[name];
      if (!found) continue;
      if (found instanceof RadioNodeList) {
        for (const one of found) if (one.value === value) one.checked = true;
      } else if (found.type === "checkbox") found.checked = found.value === value || found.checked;
      else found.value = value;
    }
    for (const details of form.querySelectorAll("details")) {
      if ([...details.querySelectorAll("input[type=text]")].some((box) => box.value)) details.open = true;
    }
  };

  let held = null;
  try { held = JSON.parse(localStorage.getItem(place) || "null"); } catch { held = null; }
  const cameBack = document.querySelector(".wrongs");
  if (Array.isArray(held) && isMeasured(held) && !cameBack && unsent) {
    unsent.textContent = "A fitting that was not sent is still on this device. ";
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Put it back";
    again.addEventListener("click", () => { putBack(held); unsent.hidden = true; check(); });
    const away = document.createElement("button");
    away.type = "button";
    away.className = "quiet";
    away.textContent = "Throw it away";
    away.addEventListener("click", () => { localStorage.removeItem(place); unsent.hidden = true; });
    const row = document.createElement("span");
    row.className = "row";
    row.append(again, away);
    unsent.append(row);
    unsent.hidden = false;
  }

  // "31 1/4" typed into the box moves the quarter to the row.
  const EIGHTHS = { "1/8": 1, "1/4": 2, "2/8": 2, "3/8": 3, "1/2": 4, "4/8": 4, "5/8": 5, "3/4": 6, "6/8": 6, "7/8": 7,
    "⅛": 1, "¼": 2, "⅜": 3, "½": 4, "⅝": 5, "¾": 6, "⅞": 7 };
  form.addEventListener("change", (event) => {
    const box = event.target;
    if (!box.name?.startsWith("m.")) return;
    const row = form.elements["e." + box.name.slice(2)];
    const parts = /^\s*(\d+)[\s-]*(\d\/\d|[⅛¼⅜½⅝¾⅞])\s*$/.exec(box.value);
    if (!row || !parts || !(parts[2] in EIGHTHS)) return;
    box.value = parts[1];
    row[EIGHTHS[parts[2]]].checked = true;
  });

  let waiting = 0;
  let asked = 0;
  const check = async () => {
    const mine = ++asked;
    const answer = await fetch(form.dataset.check + "?" + new URLSearchParams(typed())).catch(() => null);
    if (!answer || !answer.ok || mine !== asked) return;
    document.getElementById("hints").innerHTML = await answer.text();
  };
  const changed = () => {
    keep();
    clearTimeout(waiting);
    waiting = setTimeout(check, 500);
  };
  form.addEventListener("input", changed);
  form.addEventListener("change", changed);
  form.addEventListener("submit", () => { try { sessionStorage.setItem("bodkin.sent", place); } catch { /* asked again next time */ } });
}
