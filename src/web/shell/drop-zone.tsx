import { type DragEvent, type ReactNode, useRef, useState } from "react";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { type Brought, BroughtFiles } from "./brought-files.tsx";
import { filesOf, placeOf } from "./dropped.ts";

/** Files may be dropped anywhere on a job. The bench says what each is; nothing is kept before the person agrees. */
export function DropZone({ desk, children }: { desk: JobDesk; children: (bring: ReactNode) => ReactNode }) {
  const [over, setOver] = useState(false);
  const [working, setWorking] = useState<{ text: string; done: number; of: number }>();
  const [brought, setBrought] = useState<readonly Brought[]>([]);
  const [problem, setProblem] = useState("");
  const stop = useRef<AbortController>(undefined);

  /** Goes through files one by one, tells how far, and stops when asked to; what went wrong is said. */
  const eachOf = async <T,>(items: readonly T[], doing: string, work: (item: T, signal: AbortSignal) => Promise<void>): Promise<boolean> => {
    stop.current = new AbortController();
    const { signal } = stop.current;
    try {
      for (const [i, item] of items.entries()) {
        setWorking({ text: `${doing} file ${i + 1} of ${items.length}`, done: i, of: items.length });
        await work(item, signal);
        if (signal.aborted) return false;
      }
      return true;
    } catch (error) {
      if (!signal.aborted) setProblem(error instanceof Error ? error.message : String(error));
      return false;
    } finally {
      setWorking(undefined);
    }
  };

  const look = async (files: readonly File[]): Promise<void> => {
    const found: Brought[] = [];
    const isWhole = await eachOf(files, "looking at", async (file, signal) => {
      const seen = await client.look(file, signal);
      found.push({ file, seen, path: placeOf(file, seen.path), named: {}, revision: desk.job?.revisions.at(-1)?.number ?? 0 });
    });
    if (isWhole) setBrought(found);
  };

  const keep = async (): Promise<void> => {
    const left = new Set(brought);
    await eachOf(brought, "keeping", async (one, signal) => {
      const isDriven = /^(recordings|pulls)\//.test(one.path);
      await client.putFile(desk.slug, one.path, one.file, isDriven ? one.revision : undefined, signal);
      // A guess is corrected once: for this file, and for every later one whose column has the same name.
      for (const [column, signalId] of Object.entries(one.named)) {
        await client.event(desk.slug, "column.named", { file: one.path, column, signal: signalId });
        await client.bookEvent("column.learned", { column, signal: signalId });
      }
      left.delete(one);
    });
    setBrought([...left]);
    setWorking({ text: "laying recordings down as columns", done: 0, of: 1 });
    try {
      await client.layDown(desk.slug);
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    } finally {
      setWorking(undefined);
    }
    await desk.renew();
  };

  const drop = async (event: DragEvent): Promise<void> => {
    event.preventDefault();
    setOver(false);
    const files = await filesOf(event.dataTransfer);
    if (files.length > 0) await look(files);
  };
  const bring = (
    <label className="bring">
      <span>Bring files</span>
      <input
        type="file"
        multiple
        onChange={(event) => {
          void look([...(event.target.files ?? [])]);
          event.target.value = "";
        }}
      />
    </label>
  );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping has its keyed alternative, the button "Bring files" at the head of the page.
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
      {children(bring)}
      {over && <div className="drop-here">Let go to bring these files into the job</div>}
      {working !== undefined && (
        <div className="under-way" role="status">
          <span>{working.text}</span>
          <progress max={working.of} value={working.done} aria-label="Files done" />
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
      {brought.length > 0 && working === undefined && (
        <BroughtFiles
          brought={brought}
          revisions={desk.job?.revisions ?? []}
          known={new Set((desk.job?.files ?? []).map((file) => file.path))}
          change={(i, next) => setBrought(brought.map((one, k) => (k === i ? next : one)))}
          keep={() => void keep()}
          leave={() => setBrought([])}
        />
      )}
    </div>
  );
}
