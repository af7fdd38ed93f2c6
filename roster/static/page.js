/* What a page does better with a script; every page works without it. */
(() => {
  "use strict";

  const language = document.documentElement.lang || "en";

  /* "Sun 20 Jun 2027", as the server writes it */
  const said = (value) => {
    const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(value);
    if (!parts) return "";
    const day = new Date(Date.UTC(+parts[1], +parts[2] - 1, +parts[3]));
    const form = (options) =>
      new Intl.DateTimeFormat(language, { timeZone: "UTC", ...options }).format(day).replace(".", "");
    return `${form({ weekday: "short" })} ${+parts[3]} ${form({ month: "short" })} ${+parts[1]}`;
  };

  /* the weekday beside a date field follows what is chosen */
  const echo = (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || field.type !== "date") return;
    const place = document.getElementById(`${field.id}-echo`);
    if (place) place.textContent = said(field.value);
  };
  document.addEventListener("input", echo);
  document.addEventListener("change", echo);

  /* the menu closes on Escape and on a press beside it */
  const menu = document.querySelector("details.menu");
  if (menu) {
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && menu.open) {
        menu.open = false;
        menu.querySelector("summary").focus();
      }
    });
    document.addEventListener("click", (event) => {
      if (menu.open && !menu.contains(event.target)) menu.open = false;
    });
  }

  /* a summary of errors is read first */
  const summary = document.querySelector(".summary[role=alert]");
  if (summary) summary.focus();

  /* a second press while the first is under way does nothing (the server is safe either way) */
  document.addEventListener("submit", (event) => {
    if (event.target.dataset.sent) event.preventDefault();
    else event.target.dataset.sent = "yes";
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.forms) delete form.dataset.sent;
  });

  /* the secret of a mailed link stands after #, so that no server log ever holds it */
  const fromFragment = document.querySelector("[data-from-fragment]");
  if (fromFragment && location.hash.length > 1) {
    fromFragment.value = location.hash.slice(1);
    history.replaceState(null, "", location.pathname);
  }

  /* copy a shown address */
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-copy]");
    if (!button || !navigator.clipboard) return;
    const field = document.getElementById(button.dataset.copy);
    navigator.clipboard.writeText(field.value || field.textContent.trim()).then(() => {
      const place = document.getElementById("live");
      if (place) place.textContent = button.dataset.copied || "";
    });
  });
})();
