import type { SignalId } from "../../core/units/index.ts";

const YES = new Set([
  "on",
  "true",
  "yes",
  "y",
  "active",
  "enabled",
  "1",
  "closed",
  "cl",
  "closed loop",
  "sync",
  "synced",
  "synchronised",
  "synchronized",
  "ok",
  "high",
  "closed-loop",
  "cl-normal",
  "cl_normal",
  "ja",
  "present",
  "locked",
]);
const NO = new Set([
  "off",
  "false",
  "no",
  "n",
  "inactive",
  "disabled",
  "0",
  "open",
  "ol",
  "open loop",
  "lost",
  "no sync",
  "nosync",
  "none",
  "low",
  "open-loop",
  "ol-drive",
  "ol-fault",
  "ol_drive",
  "unsynced",
  "unsynchronised",
  "unsynchronized",
  "not ok",
  "nein",
  "unlocked",
  "absent",
]);

/** Number that a word stands for in a column of states, NaN when it says nothing. */
export function numberOfWord(word: string, signal: SignalId | undefined): number {
  const text = word.trim().toLowerCase();
  if (signal === "gear") return gearOf(text);
  if (YES.has(text)) return 1;
  if (NO.has(text)) return 0;
  if (/^(cl|closed)\b/.test(text)) return 1;
  if (/^(ol|open)\b/.test(text)) return 0;
  return Number.NaN;
}

function gearOf(text: string): number {
  if (/^(p|park|n|neutral|pn|p\/n)$/.test(text)) return 0;
  if (/^(r|rev|reverse)$/.test(text)) return -1;
  const number = /^(?:d|gear|g|m|s)?\s*(\d{1,2})(?:st|nd|rd|th)?(?:\s*gear)?$/.exec(text);
  return number === null ? Number.NaN : Number(number[1]);
}
