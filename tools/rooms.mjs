// The lint rule of the rooms: reads every import in src and holds it against tools/rooms.json.
// Usage: node tools/rooms.mjs        status 1 and one line for each breach
import fs from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { isMember, scanImports, scanImpure } from "./scan.mjs";

/**
 * @typedef {{
 *   always: string[], rooms: Record<string, string[]>, packages: Record<string, string[]>, pure: string[],
 *   outside?: Record<string, string[]>,
 *   debt: { from: string, to: string, reason: string }[],
 * }} Rooms
 * @typedef {{ file: string, line: number, text: string }} Breach
 */

/** The innermost room that holds a path below src, undefined for none.
 * @param {Rooms} rooms
 * @param {string} file path below src with forward slashes
 */
function roomOf(rooms, file) {
  const holding = Object.keys(rooms.rooms).filter((room) => file.startsWith(`${room}/`));
  return holding.sort((a, b) => b.length - a.length)[0];
}

/** @param {string[]} list  rooms, or the folder above them
 * @param {string} room
 */
function covers(list, room) {
  return list.some((entry) => entry === room || room.startsWith(`${entry}/`));
}

/** @param {Rooms} rooms
 * @param {string} room
 * @param {string} specifier
 */
function mayUsePackage(rooms, room, specifier) {
  const allowed = rooms.packages[room] ?? [];
  return allowed.some((name) => specifier === name || specifier.startsWith(name === "node:" ? name : `${name}/`));
}

/** What is wrong with one import, undefined when nothing is.
 * @param {Rooms} rooms
 * @param {Record<string, string>} files
 * @param {string} file
 * @param {string} specifier
 */
function judge(rooms, files, file, specifier) {
  const room = /** @type {string} */ (roomOf(rooms, file));
  const isTest = /\.test\.tsx?$/.test(file);
  if (!specifier.startsWith(".")) {
    if (isTest || mayUsePackage(rooms, room, specifier)) return undefined;
    return `${room} may not import the package "${specifier}"`;
  }
  const target = path.posix.join(path.posix.dirname(file), specifier);
  if (target.startsWith("..")) {
    const isAllowed = (rooms.outside?.[room] ?? []).includes(target.replace(/^(\.\.\/)+/, ""));
    return isTest || isAllowed ? undefined : `"${specifier}" leads out of src`;
  }
  const targetRoom = roomOf(rooms, target);
  if (targetRoom === undefined) return `"${specifier}" lies in no room`;
  if (targetRoom === room) {
    const isBetweenMembers = !isTest && isMember(files[file] ?? "") && isMember(files[target] ?? "");
    return isBetweenMembers ? `members of ${room} never import each other ("${specifier}")` : undefined;
  }
  if (target !== `${targetRoom}/index.ts`) return `${targetRoom} is entered through its index.ts only ("${specifier}")`;
  // A test may bring in what it needs to make its data, a virtual engine for instance.
  if (isTest || covers(rooms.always, targetRoom) || covers(rooms.rooms[room] ?? [], targetRoom)) return undefined;
  if (rooms.debt.some((entry) => entry.from === room && entry.to === targetRoom)) return undefined;
  return `${room} may not import ${targetRoom}`;
}

/**
 * Every breach of the rooms' table.
 * @param {Rooms} rooms
 * @param {Record<string, string>} files  text by path below src, forward slashes
 * @returns {Breach[]} in order of file and line
 */
export function findBreaches(rooms, files) {
  /** @type {Breach[]} */
  const breaches = [];
  for (const [file, text] of Object.entries(files).sort(([a], [b]) => (a < b ? -1 : 1))) {
    const room = roomOf(rooms, file);
    if (room === undefined) {
      breaches.push({ file, line: 1, text: "lies in no room: add its folder to tools/rooms.json" });
      continue;
    }
    const { imports, computed } = scanImports(text);
    for (const line of computed)
      breaches.push({ file, line, text: "import(…) of a computed name cannot be held against the table" });
    for (const { specifier, line } of imports) {
      const wrong = judge(rooms, files, file, specifier);
      if (wrong !== undefined) breaches.push({ file, line, text: wrong });
    }
    if (covers(rooms.pure, room) && !/\.test\.tsx?$/.test(file))
      for (const { name, line } of scanImpure(text))
        breaches.push({ file, line, text: `${name} in a pure room: hand the value in` });
  }
  return breaches;
}

/** Debts that no import needs any more, and debts without a reason: the list may only shrink.
 * @param {Rooms} rooms
 * @param {Record<string, string>} files
 */
export function findIdleDebt(rooms, files) {
  return rooms.debt.filter((entry) => {
    const others = rooms.debt.filter((other) => other !== entry);
    const isNeeded = findBreaches({ ...rooms, debt: others }, files).length > findBreaches(rooms, files).length;
    return !isNeeded || !entry.reason;
  });
}

/** @param {string} folder
 * @returns {Record<string, string>}
 */
export function readSources(folder) {
  const names = /** @type {string[]} */ (fs.readdirSync(folder, { recursive: true, encoding: "utf8" }));
  const sources = names.filter((name) => /\.tsx?$/.test(name));
  return Object.fromEntries(
    sources.map((name) => [name.replaceAll(path.sep, "/"), fs.readFileSync(path.join(folder, name), "utf8")]),
  );
}

/** @returns {Rooms} */
export function readRooms() {
  return JSON.parse(fs.readFileSync(new URL("rooms.json", import.meta.url), "utf8"));
}

function main() {
  const files = readSources(fileURLToPath(new URL("../src/", import.meta.url)));
  const count = Object.keys(files).length;
  if (count === 0) {
    process.stderr.write("rooms: saw no source file, so nothing was checked\n");
    return 1;
  }
  const rooms = readRooms();
  const breaches = findBreaches(rooms, files);
  for (const { file, line, text } of breaches) process.stderr.write(`src/${file}:${line}: ${text}\n`);
  const idle = findIdleDebt(rooms, files);
  for (const { from, to } of idle)
    process.stderr.write(`tools/rooms.json: debt ${from} -> ${to} is idle or has no reason\n`);
  process.stderr.write(`rooms: ${count} files, ${breaches.length} breaches, ${rooms.debt.length} debts\n`);
  return breaches.length + idle.length === 0 ? 0 : 1;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = main();
