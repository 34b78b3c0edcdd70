/**
 * Opens the reason behind a figure in a dialog. Works on every `a.why`, also inside the dialog, where
 * a reason leads to the reasons of its inputs; without script the link opens a page.
 */

/** @returns {HTMLDialogElement} */
function dialog() {
  const there = document.querySelector("dialog.why");
  if (there instanceof HTMLDialogElement) return there;
  const made = document.createElement("dialog");
  made.className = "why";
  made.setAttribute("aria-label", "Why");
  document.body.append(made);
  return made;
}

/** @param {string} text @param {() => void} act */
function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "link";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}

/** The addresses opened since the dialog was opened. @type {string[]} */
let trail = [];

/** @param {string} address */
async function show(address) {
  const host = dialog();
  let html;
  try {
    const answer = await fetch(address, { headers: { accept: "text/html" } });
    if (!answer.ok) throw new Error(String(answer.status));
    html = await answer.text();
  } catch {
    location.href = address;
    return;
  }
  host.innerHTML = html;
  const close = button("close", () => host.close());
  close.classList.add("close");
  host.append(close);
  if (trail.length > 1) {
    host.append(button("back", () => {
      trail.pop();
      show(trail[trail.length - 1]);
    }));
  }
  if (!host.open) host.showModal();
  host.scrollTop = 0;
  close.focus();
}

/** Lets every `a.why` of the document open the dialog. */
export function installWhy() {
  document.addEventListener("click", (event) => {
    if (event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    const target = event.target;
    if (!(target instanceof Element)) return;
    const link = target.closest("a.why");
    if (!link) {
      if (target instanceof HTMLDialogElement && target.matches("dialog.why")) target.close();
      return;
    }
    event.preventDefault();
    const address = link.getAttribute("href") ?? "";
    trail = link.closest("dialog.why") ? [...trail, address] : [address];
    show(address);
  });
}
