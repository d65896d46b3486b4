import { readFileSync, statSync } from "node:fs";
import { basename } from "node:path";
import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { addFiles } from "../../book/index.ts";
import { layDownRecordings, lookAt } from "../../desk/index.ts";
import type { PacketFile } from "../../formats/index.ts";
import { enteringCommand } from "../book-command.ts";
import { filesOf } from "../load-packet.ts";
import { oneOf, wholeOf } from "../parse.ts";
import { columns, fileRows, page, wrapped } from "../text.ts";

const PLACES = {
  calibration: "calibration/as-received/",
  reference: "calibration/reference/",
  recording: "recordings/",
  sweep: "pulls/",
  attachment: "attachments/",
} as const;
type Place = keyof typeof PLACES;

interface AddOptions {
  readonly as?: string;
  readonly revision?: string;
}

export function addAdd(program: Command): void {
  enteringCommand<AddOptions>(
    program,
    {
      usage: "add <job> <files...>",
      about: "Bring files into a job: table sheets, recordings, sweeps, an intake sheet, or a whole packet folder",
      args: { job: "short name of the job", files: "files, or folders of packets" },
      examples: [
        "fettle add wagon-rough-idle customer-packet",
        "fettle add wagon-rough-idle drive-2.csv --revision 1",
        "fettle add wagon-rough-idle photo.jpg --as attachment",
      ],
      notes: `What a file is, is told from its content; --as says otherwise. Files are kept
byte for byte; recordings are laid down beside as Parquet, in canonical units,
for any other program. A recording counts as made on the newest
revision unless --revision says otherwise.`,
    },
    async ({ book, args: [job, ...paths], options, progress }) => {
      const as = options.as === undefined ? undefined : oneOf(options.as, Object.keys(PLACES) as Place[], "--as");
      const revision = options.revision === undefined ? undefined : wholeOf(options.revision, "--revision");
      const brought = paths.flatMap((path) => (isFolder(path) ? filesOf(path).map((file) => ({ ...file, says: "" })) : [placed(path, as)]));
      const isDriven = (path: string): boolean => /^(recordings|pulls)\//.test(path);
      const files = brought.map(({ path, bytes }) => ({ path, bytes, ...(revision !== undefined && isDriven(path) ? { revision } : {}) }));
      const kept = addFiles(book, job!, files, options.why);
      const remark = await remarkOf(() => layDownRecordings(book, job!, { onProgress: progress.step }));
      const rows = fileRows(kept, (_, i) => brought[i]!.says);
      return { json: kept, text: page(columns(rows).join("\n"), remark) };
    },
  )
    .option("--as <kind>", `take the files as: ${Object.keys(PLACES).join(", ")}`)
    .option("--revision <number>", "revision that was in the controller when it was recorded; 0 is as received");
}

/** The files are kept already when columns are laid down: what stops that is a remark, and the next add makes up for it. */
async function remarkOf(work: () => Promise<unknown>): Promise<string> {
  try {
    await work();
    return "";
  } catch (error) {
    if (!(error instanceof UnusableInput)) throw error;
    return wrapped(`The files are kept. They were not laid down as columns: ${error.message} The next add does it.`);
  }
}

function isFolder(path: string): boolean {
  const found = statSync(path, { throwIfNoEntry: false });
  if (found === undefined) throw new UnusableInput({ at: { file: path }, what: "There is no such file", do: "Check the name" });
  return found.isDirectory();
}

function placed(path: string, as: Place | undefined): PacketFile & { readonly says: string } {
  const bytes = readFileSync(path);
  if (as !== undefined) return { path: `${PLACES[as]}${basename(path)}`, bytes, says: as };
  const seen = lookAt(path, bytes);
  return { path: seen.path, bytes, says: [seen.says, ...seen.doubts].join("; ") };
}
