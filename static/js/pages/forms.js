/**
 * Forms of the pages of text and tables: sent without leaving the page, so that what was typed is
 * still there when it is refused; the reason then stands in the form. Without script the answer is a
 * page.
 */

const SILENT = "The program does not answer, so nothing was changed. See that it still runs, then try again.";

/** Lets every form that is posted stay on its page until it is taken. */
export function installForms() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !(form instanceof HTMLFormElement) || form.method !== "post") return;
    event.preventDefault();
    send(form, event.submitter);
  });
}

/** @param {HTMLFormElement} form @param {HTMLElement|null} button */
async function send(form, button) {
  const data = new FormData(form, button);
  const fields = /** @type {any} */ ([...data]);
  const body = form.enctype === "multipart/form-data" ? data : new URLSearchParams(fields);
  form.setAttribute("aria-busy", "true");
  try {
    const headers = { accept: "application/json" };
    const answer = await fetch(form.action, { method: "POST", body, headers });
    if (answer.ok) {
      location.assign(answer.url);
      return;
    }
    const { error } = await answer.json();
    say(form, error.message);
  } catch {
    say(form, SILENT);
  }
  form.removeAttribute("aria-busy");
}

/** The reason in the form, in view, in the place of an earlier one. */
function say(/** @type {HTMLFormElement} */ form, /** @type {string} */ message) {
  form.querySelector("[data-refused]")?.remove();
  const box = document.createElement("div");
  box.className = "note-box blocker";
  box.dataset.refused = "";
  box.setAttribute("role", "alert");
  const mark = document.createElement("span");
  mark.className = "mark blocker";
  const words = document.createElement("p");
  words.append(mark, message);
  box.append(words);
  const acts = form.querySelector(".acts:not([hidden])");
  if (acts) acts.before(box);
  else form.append(box);
  box.scrollIntoView({ block: "nearest" });
}
