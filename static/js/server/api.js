/**
 * The server, and the only `fetch` of the editor. Answers are values; refusals are `ApiError`s
 * whose message can be shown as it is.
 * @import {Edit} from "../core/types.js"
 */

/** A refusal in the server's words. */
export class ApiError extends Error {
  /**
   * @param {string} message
   * @param {number} status
   * @param {?string} field
   * @param {?string} remedy
   */
  constructor(message, status, field = null, remedy = null) {
    super(message);
    this.status = status;
    this.field = field;
    this.remedy = remedy;
  }
}

/** @param {string} path @param {RequestInit} [options] */
async function ask(path, options = {}) {
  let response;
  try {
    response = await fetch(path, options);
  } catch {
    throw new ApiError("The program does not answer; see that it still runs, then try again.", 0);
  }
  const body = await response.text();
  if (response.ok) return body === "" ? null : JSON.parse(body);
  throw refusal(response.status, body);
}

/** @param {number} status @param {string} body */
function refusal(status, body) {
  try {
    const { message, field, remedy } = JSON.parse(body).error;
    return new ApiError(message, status, field, remedy);
  } catch {
    return new ApiError(`The program answered with status ${status}; reload the page.`, status);
  }
}

/** @param {string} path @param {any} body */
const post = (path, body) =>
  ask(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });

/** The routes of one project. @param {string} project */
export function projectApi(project) {
  const base = `/api/projects/${encodeURIComponent(project)}`;
  return {
    state: () => ask(base),
    /** @param {number} version @param {Edit} edit @param {string} label */
    edit: (version, edit, label) => post(`${base}/edits`, { version, edit, label }),
    /** @param {number} version */
    undo: (version) => post(`${base}/undo`, { version }),
    /** @param {number} version */
    redo: (version) => post(`${base}/redo`, { version }),
    /** @param {number} version @param {Edit} edit */
    preview: (version, edit) => post(`${base}/preview`, { version, edit }),
    /** @param {number} version @param {{what: string, floor: ?number, room: ?number}} wish */
    suggest: (version, wish) => post(`${base}/suggest`, { version, ...wish }),
    /** @param {string} job */
    job: (job) => ask(`/api/jobs/${encodeURIComponent(job)}`),
    /** @param {string} job */
    cancel: (job) => ask(`/api/jobs/${encodeURIComponent(job)}`, { method: "DELETE" }),
    /** @param {number} floor @param {File} file @param {number} page */
    uploadSheet: (floor, file, page) => {
      const form = new FormData();
      form.append("page", String(page));
      form.append("file", file);
      return ask(`${base}/floors/${floor}/sheet`, { method: "POST", body: form });
    },
    /** Lines of equal distance round a detector. @param {number} detector */
    distances: (detector) => ask(`${base}/detectors/${detector}/distances`),
    /** A cover beside one detector fewer and other votes. @param {number} room @param {any} cover */
    comparison: (room, { measures, band }, /** @type {AbortSignal} */ signal) => {
      const query = `measures=${encodeURIComponent(measures)}&band=${band}`;
      return ask(`${base}/rooms/${room}/comparison?${query}`, { signal });
    },
    /** @param {number} floor @param {number} scale pixels for a metre */
    labels: (floor, scale) =>
      ask(`${base}/floors/${floor}/labels?pixels_per_metre=${scale.toFixed(4)}`),
    /** The same as a suggestion would leave the floor. @param {string} job @param {number} floor */
    suggestedLabels: (job, floor, /** @type {number} */ scale) =>
      ask(
        `/api/jobs/${encodeURIComponent(job)}/floors/${floor}/labels?pixels_per_metre=${scale.toFixed(4)}`,
      ),
    /** @param {string} query */
    substances: (query) =>
      ask(`/api/substances?q=${encodeURIComponent(query)}&project=${encodeURIComponent(project)}`),
    basis: () => ask("/api/basis"),
    /** A page as the server draws it now; `null` where it does not answer. */
    page: async () => {
      try {
        const answer = await fetch(location.pathname, { headers: { accept: "text/html" } });
        return answer.ok ? await answer.text() : null;
      } catch {
        return null;
      }
    },
  };
}
