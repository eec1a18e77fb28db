// What the page does a little better with a script than without: nothing here is needed.
"use strict";

// A colorway's drop-downs are named by its fabric and its name, as it is typed.
document.querySelectorAll("[data-colorway]").forEach((box) => {
  const name = box.querySelector("input");
  name.addEventListener("input", () => {
    box.querySelectorAll("[data-before]").forEach((field) => {
      field.setAttribute("aria-label", `${field.dataset.before}, ${name.value}`);
    });
  });
});

// The form that is picked is said beside its fabric, and what the kit's fabric comes to.
document.querySelectorAll(".formtable").forEach((table) => {
  const sum = table.querySelector(".sum");
  const tell = () => {
    let all = 0, unknown = 0;
    table.querySelectorAll("fieldset").forEach((box) => {
      const picked = box.querySelector("input:checked");
      if (!picked) return;
      const words = ["buy", "cost", "proof"].map((part) =>
        picked.closest("tr").querySelector(`.${part}`).textContent.trim());
      box.querySelector(".chosen").textContent = `Chosen: ${words.filter(Boolean).join("; ")}`;
      if (picked.dataset.amount) all += Number(picked.dataset.amount); else unknown += 1;
    });
    sum.textContent = `Fabric of one kit: ${table.dataset.currency}${all.toFixed(2)}`
      + (unknown ? `, and ${unknown} without a known cost` : "");
  };
  table.addEventListener("change", tell);
  tell();
});

// How far a run is, twice a second; what it comes to is the server's to show.
document.querySelectorAll("[data-run]").forEach((box) => {
  const put = (name, text) => {
    const place = box.querySelector(`.${name}`);
    if (place.textContent !== text) place.textContent = text;
  };
  const look = () => fetch(`/runs/${box.dataset.run}/state`)
    .then((answer) => (answer.ok ? answer.json() : Promise.reject(new Error(answer.status))))
    .then((now) => {
      if (!now.running) return location.replace(`/runs/${box.dataset.run}`);
      box.querySelector("progress").max = now.steps;
      box.querySelector("progress").value = now.done;
      put("words", now.words);
      put("seconds", String(now.seconds));
      put("beat", now.seconds % 2 ? "○" : "●");
      return setTimeout(look, 500);
    })
    .catch(() => put("words", "The counter does not answer: it may have been ended. Start it anew."));
  setTimeout(look, 300);
});

document.querySelectorAll("[data-print]").forEach((button) => {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
});
