/**
 * What an edit would do to a project, and what differs between two projects; for ghosts on the
 * plan and for saying which parts to draw anew. The server alone decides whether an edit holds.
 * @import {Edit, Key, Kind, Project} from "./types.js"
 */

import { REGISTER, find } from "./drawing.js";

const KINDS = /** @type {Kind[]} */ (Object.keys(REGISTER));

/**
 * The project as it would look after an edit.
 * @param {Project} project @param {Edit} edit
 * @returns {Project}
 */
export function preview(project, edit) {
  if (edit.do === "all") {
    return (edit.edits ?? []).reduce((so_far, next) => preview(so_far, next), project);
  }
  const key = edit.key ?? (edit.item && { kind: edit.item.kind, id: edit.item.value.id });
  if (!key) return project;
  const field = REGISTER[key.kind];
  const items = /** @type {any[]} */ (project[field]);
  if (edit.do === "add") return { ...project, [field]: [...items, edit.item?.value] };
  if (edit.do === "remove") {
    return { ...project, [field]: items.filter(({ id }) => id !== key.id) };
  }
  return { ...project, [field]: items.map((old) => (old.id === key.id ? edit.item?.value : old)) };
}

/**
 * @param {Project} before @param {Project} after
 * @returns {{added: Key[], changed: Key[], removed: Key[]}}
 */
export function difference(before, after) {
  const added = /** @type {Key[]} */ ([]);
  const changed = /** @type {Key[]} */ ([]);
  const removed = /** @type {Key[]} */ ([]);
  for (const kind of KINDS) {
    for (const item of /** @type {any[]} */ (after[REGISTER[kind]])) {
      const old = find(before, { kind, id: item.id });
      if (!old) added.push({ kind, id: item.id });
      else if (JSON.stringify(old) !== JSON.stringify(item)) changed.push({ kind, id: item.id });
    }
    for (const item of /** @type {any[]} */ (before[REGISTER[kind]])) {
      if (!find(after, { kind, id: item.id })) removed.push({ kind, id: item.id });
    }
  }
  return { added, changed, removed };
}
