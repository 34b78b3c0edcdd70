/**
 * What the pages of text and tables do beyond links and forms: reasons in a dialog, forms that are
 * sent when a field changes and stay when they are refused, and the place on the page kept when it
 * comes back.
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
