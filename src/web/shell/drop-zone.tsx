import { type DragEvent, type ReactNode, useRef, useState } from "react";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";

interface Brought {
  readonly file: File;
  readonly path: string;
  readonly says: string;
  readonly doubts: readonly string[];
}

const PLACES = ["intake.json", "calibration/as-received/", "calibration/reference/", "recordings/", "pulls/", "attachments/"];

/** Files may be dropped anywhere on a job. The bench says what each is; nothing is kept before the person agrees. */
export function DropZone({ desk, children }: { desk: JobDesk; children: ReactNode }) {
  const [over, setOver] = useState(false);
  const [looking, setLooking] = useState<{ done: number; of: number }>();
  const [brought, setBrought] = useState<readonly Brought[]>([]);
  const [problem, setProblem] = useState("");
  const stop = useRef<AbortController>(undefined);

  const look = async (files: readonly File[]): Promise<void> => {
    stop.current = new AbortController();
    const found: Brought[] = [];
    try {
      for (const [i, file] of files.entries()) {
        setLooking({ done: i, of: files.length });
        const seen = await client.look(file, stop.current.signal);
        found.push({ file, path: placeOf(file, seen.path), says: seen.says, doubts: seen.doubts });
      }
      setBrought(found);
    } catch (error) {
      if (!stop.current.signal.aborted) setProblem(error instanceof Error ? error.message : String(error));
    } finally {
      setLooking(undefined);
    }
  };
  const keep = async (): Promise<void> => {
    try {
      for (const [i, { file, path }] of brought.entries()) {
        setLooking({ done: i, of: brought.length });
        await client.putFile(desk.slug, path, file);
      }
      setBrought([]);
      await desk.renew();
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    } finally {
      setLooking(undefined);
    }
  };
  const drop = async (event: DragEvent): Promise<void> => {
    event.preventDefault();
    setOver(false);
    const files = await filesOf(event.dataTransfer);
    if (files.length > 0) await look(files);
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping has its keyed alternative, the button "Bring files" at the stations.
    <div
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={(event) => {
        if (event.currentTarget === event.target) setOver(false);
      }}
      onDrop={(event) => void drop(event)}
    >
      {children}
      <label className="bring">
        <span>Bring files</span>
        <input type="file" multiple onChange={(event) => void look([...(event.target.files ?? [])])} />
      </label>
      {over && <div className="drop-here">Let go to bring these files into the job</div>}
      {looking !== undefined && (
        <div className="under-way" role="status">
          <span>
            looking at file {looking.done + 1} of {looking.of}
          </span>
          <progress max={looking.of} value={looking.done} aria-label="Files looked at" />
          <button type="button" onClick={() => stop.current?.abort()}>
            Cancel
          </button>
        </div>
      )}
      {problem !== "" && (
        <p className="problem floating" role="alert">
          {problem}{" "}
          <button type="button" onClick={() => setProblem("")}>
            Put away
          </button>
        </p>
      )}
      {brought.length > 0 && looking === undefined && (
        <section className="brought" aria-label="Files brought">
          <h2>
            {brought.length} {brought.length === 1 ? "file" : "files"} brought
          </h2>
          <ul>
            {brought.map((one, i) => (
              <li key={one.path + one.file.name}>
                <span className="brought-name">{one.file.name}</span>
                <span>{one.says}</span>
                <label>
                  <span className="visually-hidden">Where {one.file.name} belongs</span>
                  <select
                    value={PLACES.find((place) => one.path.startsWith(place)) ?? "attachments/"}
                    onChange={(event) =>
                      setBrought(
                        brought.map((other, k) =>
                          k === i ? { ...other, path: event.target.value.endsWith("/") ? event.target.value + other.file.name : event.target.value } : other,
                        ),
                      )
                    }
                  >
                    {PLACES.map((place) => (
                      <option key={place} value={place}>
                        {PLACE_NAMES[place]}
                      </option>
                    ))}
                  </select>
                </label>
                {one.doubts.length > 0 && <span className="doubts">{one.doubts.join(" ")}</span>}
              </li>
            ))}
          </ul>
          <div className="actions">
            <button type="button" className="primary" onClick={() => void keep()}>
              Keep them
            </button>
            <button type="button" onClick={() => setBrought([])}>
              Leave them
            </button>
          </div>
        </section>
      )}
    </div>
  );
}

const PLACE_NAMES: Readonly<Record<string, string>> = {
  "intake.json": "intake sheet",
  "calibration/as-received/": "calibration as received",
  "calibration/reference/": "factory reference",
  "recordings/": "recording",
  "pulls/": "sweep",
  "attachments/": "attachment",
};

/** A folder that is dropped keeps the part of its path that a packet has; single files go where their content says. */
function placeOf(file: File, proposed: string): string {
  const path = (file.webkitRelativePath || relativePaths.get(file) || file.name).replaceAll("\\", "/");
  const within = /(calibration\/(?:as-received|reference)|recordings|pulls)\/[^/]+$/.exec(path)?.[0];
  return within ?? proposed;
}

const relativePaths = new WeakMap<File, string>();

async function filesOf(transfer: DataTransfer): Promise<File[]> {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry()).filter((entry) => entry !== null);
  if (entries.length === 0) return [...transfer.files];
  return (await Promise.all(entries.map(filesWithin))).flat();
}

async function filesWithin(entry: FileSystemEntry): Promise<File[]> {
  if (entry.isFile) {
    const file = await new Promise<File>((resolve, reject) => (entry as FileSystemFileEntry).file(resolve, reject));
    relativePaths.set(file, entry.fullPath.replace(/^\//, ""));
    return /^\.|\.part$/.test(file.name) ? [] : [file];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const found: File[] = [];
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return found;
    found.push(...(await Promise.all(some.map(filesWithin))).flat());
  }
}
