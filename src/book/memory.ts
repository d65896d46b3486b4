import { sameAxes, type Table } from "../core/tables/index.ts";
import type { SignalId } from "../core/units/index.ts";
import type { Book } from "./book.ts";
import type { BookEventKind, BookEvents } from "./events.ts";
import { standing } from "./fold.ts";
import { jobSlugs, readBookJournal, readJob } from "./jobs.ts";
import type { JournalEvent } from "./journal.ts";

/** An event of the book with the data that belongs to its kind. */
export type BookEvent = { [Kind in BookEventKind]: JournalEvent<Kind, BookEvents[Kind]> }[BookEventKind];

export type InjectorSheet = BookEvents["injector.kept"];
export type KeptReference = BookEvents["reference.kept"];
export type CheckSetting = BookEvents["check.set"]["setting"];

/** What the whole book remembers across jobs and laptops: the fold of its own journal. */
export interface Memory {
  /** Shop name for reports; empty while none was given. */
  readonly shop: string;
  /** Preferred unit by quantity; "system" holds metric or imperial for everything that is not named. */
  readonly units: Readonly<Record<string, string>>;
  /** Columns of recordings that a person named, by the source's name. */
  readonly columns: Readonly<Record<string, SignalId | "none">>;
  /** Injector data sheets, in order of label. */
  readonly injectors: readonly InjectorSheet[];
  /** Calibrations kept under a name as references, in order of name. */
  readonly references: readonly KeptReference[];
  /** Checks whose setting is not the usual one. */
  readonly checks: Readonly<Record<string, Exclude<CheckSetting, "on">>>;
  /** Lists to tick off, as plain text, one item a line, by name. */
  readonly checklists: Readonly<Record<string, string>>;
}

/** Reads what the book remembers. Damage in its journal costs the damaged lines only. */
export function memoryOf(book: Book): Memory {
  return foldMemory(readBookJournal(book).events);
}

export function foldMemory(events: readonly JournalEvent[]): Memory {
  let shop = "";
  const units = new Map<string, string>();
  const columns = new Map<string, SignalId | "none">();
  const injectors = new Map<string, InjectorSheet>();
  const references = new Map<string, KeptReference>();
  const checks = new Map<string, "off" | "note">();
  const checklists = new Map<string, string>();
  for (const { kind, data } of standing(events) as readonly BookEvent[])
    switch (kind) {
      case "shop.named":
        shop = data.name;
        break;
      case "units.preferred":
        units.set(data.quantity, data.unit);
        break;
      case "column.learned":
        columns.set(data.column, data.signal);
        break;
      case "column.forgotten":
        columns.delete(data.column);
        break;
      case "injector.kept":
        injectors.set(data.label, data);
        break;
      case "injector.dropped":
        injectors.delete(data.label);
        break;
      case "reference.kept":
        references.set(data.name, data);
        break;
      case "reference.dropped":
        references.delete(data.name);
        break;
      case "check.set":
        if (data.setting === "on") checks.delete(data.check);
        else checks.set(data.check, data.setting);
        break;
      case "checklist.written":
        if (data.text.trim() === "") checklists.delete(data.name);
        else checklists.set(data.name, data.text);
        break;
      default:
        break;
    }
  return {
    shop,
    units: record(units),
    columns: record(columns),
    injectors: byName(injectors),
    references: byName(references),
    checks: record(checks),
    checklists: record(checklists),
  };
}

function record<Value>(map: ReadonlyMap<string, Value>): Readonly<Record<string, Value>> {
  return Object.fromEntries([...map].sort(([a], [b]) => (a < b ? -1 : 1)));
}

function byName<Value>(map: ReadonlyMap<string, Value>): readonly Value[] {
  return Object.values(record(map));
}

/** Units that a report and the command line speak. */
export function unitSystemOf(memory: Memory): "metric" | "imperial" {
  return memory.units.system === "imperial" ? "imperial" : "metric";
}

// --- references for later vehicles --------------------------------------------------------------------------------

/** A calibration of an earlier job that can serve as a reference. */
export interface OfferedReference {
  readonly name: string;
  readonly job: string;
  readonly folder: "as-received" | "reference";
  readonly engine: { readonly displacementL: number; readonly cylinders: number };
  /** Kept under a name by a person, not only met in a job. */
  readonly isKept: boolean;
}

/** How near an offered reference is to a calibration, 0–1, and why. */
export interface RankedReference {
  readonly offered: OfferedReference;
  readonly nearness: number;
  readonly because: string;
}

/**
 * Every calibration that earlier jobs brought, those kept under a name first. The factory's tables of a job are offered before what was
 * in its controller.
 *
 * @param engineOf  displacement and cylinders of a job, undefined where its intake does not say
 */
export function offeredReferences(
  book: Book,
  memory: Memory,
  except: string,
  engineOf: (slug: string) => OfferedReference["engine"] | undefined,
): readonly OfferedReference[] {
  const offered: OfferedReference[] = [];
  for (const kept of memory.references) if (kept.job !== except) offered.push({ ...kept, isKept: true });
  for (const job of jobSlugs(book)) {
    if (job === except) continue;
    const { state } = readJob(book, job);
    const engine = engineOf(job);
    if (engine === undefined) continue;
    for (const folder of ["reference", "as-received"] as const) {
      if (!state.files.some((file) => file.path.startsWith(`calibration/${folder}/`))) continue;
      if (memory.references.some((kept) => kept.job === job && kept.folder === folder)) continue;
      offered.push({ name: `${state.title} (${folder === "reference" ? "factory" : "as received"})`, job, folder, engine, isKept: false });
    }
  }
  return offered;
}

/** Displacements within this are one engine, whatever the rounding of the sheet [share]. */
const SAME_DISPLACEMENT = 0.015;

/**
 * Offered references by nearness: same displacement and cylinders, and the share of this calibration's tables that the other has under
 * the same title with the same axes. A different number of cylinders or a displacement off by more than a tenth is no reference at all.
 */
export function rankReferences(
  engine: OfferedReference["engine"],
  tables: readonly Table[],
  offered: readonly { readonly reference: OfferedReference; readonly tables: readonly Table[] }[],
): readonly RankedReference[] {
  return offered
    .flatMap(({ reference, tables: theirs }) => {
      const off = Math.abs(reference.engine.displacementL / engine.displacementL - 1);
      if (reference.engine.cylinders !== engine.cylinders || off > 0.1) return [];
      const byTitle = new Map(theirs.map((table) => [table.title, table]));
      const same = tables.filter((table) => {
        const other = byTitle.get(table.title);
        return other !== undefined && sameAxes(table, other);
      }).length;
      const shareOfTables = tables.length === 0 ? 0 : same / tables.length;
      const nearness = shareOfTables * (off <= SAME_DISPLACEMENT ? 1 : 0.6) * (reference.folder === "reference" ? 1 : 0.7);
      const because = `${reference.engine.displacementL} L, ${reference.engine.cylinders} cylinders; ${same} of ${tables.length} tables with the same title and axes`;
      return [{ offered: reference, nearness, because }];
    })
    .sort((a, b) => b.nearness - a.nearness || Number(b.offered.isKept) - Number(a.offered.isKept) || (a.offered.name < b.offered.name ? -1 : 1));
}
