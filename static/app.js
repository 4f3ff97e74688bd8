// Improves pages that work without it: lists that narrow as one types, and
// forms that are not sent twice by a double tap.
"use strict";

for (const form of document.querySelectorAll("form[data-narrow]")) {
  const box = form.querySelector("input[type=search]");
  let waiting = 0;
  let asked = 0;
  const narrow = async () => {
    const mine = ++asked;
    const address = form.getAttribute("action") + "?" + new URLSearchParams(new FormData(form));
    const answer = await fetch(address, { headers: { accept: "text/html" } }).catch(() => null);
    if (!answer || !answer.ok || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const part of ["found", "counted"]) {
      const now = document.getElementById(part);
      const then = page.getElementById(part);
      if (now && then) now.replaceWith(then);
    }
    history.replaceState(null, "", address);
  };
  box?.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(narrow, 180);
  });
  for (const choice of form.querySelectorAll("select")) choice.addEventListener("change", () => form.requestSubmit());
}

for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
    setTimeout(() => delete form.dataset.sent, 4000);
  });
}

// A form that came back with notes: go to the first field to be put right.
document.querySelector(".wrong input, .wrong select, .wrong textarea")?.focus();

// The shop's time zone is the browser's, unless it is set otherwise later.
for (const box of document.querySelectorAll("input[data-zone]")) {
  if (!box.value) box.value = Intl.DateTimeFormat().resolvedOptions().timeZone || "";
}

// A fitting is cleared from this device once the page that says so has come.
if (document.querySelector("[data-kept]")) {
  const sent = sessionStorage.getItem("bodkin.sent");
  if (sent) localStorage.removeItem(sent);
  sessionStorage.removeItem("bodkin.sent");
}
