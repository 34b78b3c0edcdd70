/**
 * What the pages of text and tables do beyond links and forms: reasons in a dialog, forms that are
 * sent when a field changes and stay when they are refused, the place on the page kept when it comes
 * back, and a word above tables that go on beyond the window.
 */
import { installForms } from "./forms.js";
import { installWhy } from "./why.js";

const PLACE = "brattice.place";

installWhy();
keepPlace();
installForms();
for (const form of document.querySelectorAll("form[data-on-change]")) {
  if (form instanceof HTMLFormElement) sendOnChange(form);
}
for (const print of document.querySelectorAll("[data-print]")) {
  print.removeAttribute("hidden");
  print.addEventListener("click", () => window.print());
}

for (const wrap of document.querySelectorAll(".table-wrap")) sayWhereItGoesOn(wrap);

/** How many columns of a table lie beyond its right edge, above it. @param {Element} wrap */
function sayWhereItGoesOn(wrap) {
  const note = document.createElement("p");
  note.className = "goes-on";
  wrap.before(note);
  const show = () => {
    const edge = wrap.getBoundingClientRect().right + 1;
    const heads = [...wrap.querySelectorAll("thead tr:last-child > *")];
    const beyond = heads.filter((head) => head.getBoundingClientRect().right > edge).length;
    note.textContent = `${beyond} more column${beyond === 1 ? "" : "s"}: slide the table.`;
    note.hidden = beyond === 0;
  };
  wrap.addEventListener("scroll", show);
  new ResizeObserver(show).observe(wrap);
}

/** @param {HTMLFormElement} form */
function sendOnChange(form) {
  for (const row of form.querySelectorAll(".acts")) row.setAttribute("hidden", "");
  for (const field of form.elements) {
    if (field instanceof HTMLButtonElement) continue;
    field.addEventListener("change", () => {
      if (form.reportValidity()) form.requestSubmit();
    });
  }
}

/** A form leads back to its page: show the same part of it. */
function keepPlace() {
  const kept = sessionStorage.getItem(PLACE);
  sessionStorage.removeItem(PLACE);
  const [path, top] = (kept ?? "").split(" ");
  if (path === location.pathname) window.scrollTo(0, Number(top));
  document.addEventListener("submit", () => {
    sessionStorage.setItem(PLACE, `${location.pathname} ${window.scrollY}`);
  });
}
