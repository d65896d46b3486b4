import type { JobEvent } from "../book/index.ts";

/** What an entry of a job's journal says, as a clause after the name of the one who made it. */
export function tellEvent(event: JobEvent): string {
  const { data, kind } = event;
  switch (kind) {
    case "job.created":
      return `began the job "${data.title}"${data.vehicle === "" ? "" : `, ${data.vehicle}`}`;
    case "job.renamed":
      return `called the job "${data.title}"`;
    case "files.added":
      return `brought ${filesText(data.files)}`;
    case "files.withdrawn":
      return `took out ${data.paths.join(", ")}`;
    case "recordings.kept":
      return `laid down ${data.recordings.map((recording) => recording.path).join(", ")} as columns`;
    case "intake.written":
      return "wrote the intake sheet";
    case "station.marked":
      return `marked ${data.station} ${data.state}`;
    case "wait.began":
      return `stopped for ${data.what} (${data.kind}${data.until === undefined ? "" : `, until ${data.until}`}${data.fault === undefined ? "" : `, for ${data.fault}`})`;
    case "wait.ended":
      return `went on: the wait of entry ${data.began} is over`;
    case "note.written":
      return `noted${data.station === undefined ? "" : ` at ${data.station}`}: ${data.text}`;
    case "test.observed":
      return `tested ${data.test}: ${data.outcome}${data.value === undefined ? "" : ` (${data.value})`}`;
    case "finding.answered":
      return `answered ${data.finding}: ${data.answer}`;
    case "change.decided":
      return decisionText(data);
    case "revision.made": {
      const changed = data.tables.filter((table) => table.changed.length > 0);
      return `made revision ${data.revision}, "${data.name}": ${changed.map((table) => `${table.role ?? table.title} (${table.changed.length} cells)`).join(", ")}`;
    }
    case "column.named":
      return `said that column "${data.column}" of ${data.file} is ${data.signal === "none" ? "no signal" : data.signal}`;
    case "table.named":
      return data.role === "as-read"
        ? `left it to the sheet what table "${data.table}" is`
        : `said that table "${data.table}" is ${data.role === "none" ? "none that is known here" : data.role}`;
    case "checklist.ticked":
      return `${data.ticked ? "ticked" : "unticked"} "${data.item}" of ${data.list}`;
    case "signature.kept":
      return `kept the state of the vehicle on revision ${data.revision}`;
    case "controller.read":
      return `read the controller: ${data.method}${data.supplyV === undefined ? "" : ` at ${data.supplyV} V`}`;
    case "time.logged":
      return `worked ${data.minutes} min: ${data.what}`;
    case "part.used":
      return `fitted ${data.quantity} × ${data.part}${data.quality === undefined ? "" : ` (${data.quality})`}`;
    case "report.made":
      return `wrote the report ${data.name}`;
    case "undone":
      return `undid entry ${data.number}`;
    default:
      return `entered something that a newer version of the program knows (${String(kind)})`;
  }
}

const MOST_NAMED = 3;

function filesText(files: readonly { readonly path: string }[]): string {
  const paths = files.map((file) => file.path);
  if (paths.length <= MOST_NAMED) return paths.join(", ");
  const folders = new Map<string, number>();
  for (const path of paths) {
    const folder = path.includes("/") ? path.slice(0, path.lastIndexOf("/")) : path;
    folders.set(folder, (folders.get(folder) ?? 0) + 1);
  }
  return `${paths.length} files: ${[...folders].map(([folder, count]) => (count === 1 ? folder : `${count} in ${folder}`)).join(", ")}`;
}

function decisionText(data: Extract<JobEvent, { kind: "change.decided" }>["data"]): string {
  const where = data.region === undefined ? "" : `, cells ${data.region[0].join(",")} to ${data.region[1].join(",")}`;
  if (data.decision === "edit") return `set ${data.role} by hand: ${(data.cells ?? []).map((cell) => `${cell.row},${cell.column} = ${cell.value}`).join("; ")}`;
  if (data.decision === "hold") return `held ${data.role}${where}`;
  return `accepted what the recordings ask of ${data.role}${where}`;
}
