import type {
  AnalysisView,
  BoardView,
  ChangedTableView,
  ComebackView,
  GuideView,
  HeardView,
  HitView,
  JobView,
  LookView,
  ProblemView,
  PromiseView,
  PullsView,
  SignatureView,
  StatisticsView,
  VerificationView,
  WatchView,
} from "../../api/index.ts";
import type { Edit } from "../../core/result/index.ts";

/** A refusal of the server, in its own words. */
export class Refused extends Error {
  readonly action: string;
  constructor(problem: ProblemView["problem"]) {
    super(problem.what);
    this.name = "Refused";
    this.action = problem.do ?? "";
  }
}

async function checked(response: Response): Promise<Response> {
  if (response.ok) return response;
  const told = (await response.json().catch(() => undefined)) as ProblemView | undefined;
  throw new Refused(told?.problem ?? { what: `The bench answered ${response.status}.` });
}

async function json<T>(path: string, init?: RequestInit): Promise<T> {
  return (await checked(await fetch(path, init))).json() as Promise<T>;
}

function post<T>(path: string, body: unknown): Promise<T> {
  return json(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
}

const job = (slug: string): string => `/api/jobs/${encodeURIComponent(slug)}`;

export const client = {
  board: () => json<BoardView>("/api/board"),
  openBook: (which: "own" | "demo") => post<{ done: true }>("/api/book/open", { which }),
  search: (words: string) => json<HitView[]>(`/api/search?${new URLSearchParams({ for: words })}`),
  job: (slug: string) => json<JobView>(job(slug)),
  createJob: (title: string, vehicle: string, again = "") =>
    post<{ slug: string }>("/api/jobs", { title, ...(vehicle === "" ? {} : { vehicle }), ...(again === "" ? {} : { again }) }),
  event: (slug: string, kind: string, data: unknown, why?: string) => post<JobView>(`${job(slug)}/events`, { kind, data, why }),
  undo: (slug: string) => post<JobView>(`${job(slug)}/undo`, {}),
  redo: (slug: string) => post<JobView>(`${job(slug)}/redo`, {}),
  bookEvent: (kind: string, data: unknown) => post<{ done: true }>("/api/book/events", { kind, data }),
  cancel: () => post<{ done: true }>("/api/cancel", {}),
  look: (file: File, signal?: AbortSignal) =>
    json<LookView>(`/api/look?name=${encodeURIComponent(file.webkitRelativePath || file.name)}`, {
      method: "POST",
      body: file,
      signal,
    }),
  putFile: (slug: string, path: string, file: Blob, revision?: number, signal?: AbortSignal) =>
    json<JobView>(`${job(slug)}/files?path=${encodeURIComponent(path)}${revision === undefined ? "" : `&revision=${revision}`}`, {
      method: "PUT",
      body: file,
      signal,
    }),
  layDown: (slug: string) => post<{ laid: number }>(`${job(slug)}/columns`, {}),
  makeRevision: (slug: string, name: string, why: string) => post<JobView>(`${job(slug)}/revisions`, { name, why }),
  revisionHref: (slug: string, revision: number, take: "sheets" | "changed" | "bundle" = "sheets") => `${job(slug)}/revisions/${revision}?take=${take}`,
  promise: (slug: string, of: "decided" | "asked") => json<PromiseView | null>(`${job(slug)}/promise?of=${of}`),
  verification: (slug: string, revision: number) => json<VerificationView | null>(`${job(slug)}/verification?revision=${revision}`),
  compare: (slug: string, from: string, to: string) => json<Edit[]>(`${job(slug)}/compare?${new URLSearchParams({ from, to })}`),
  changed: (slug: string, from: string, to: string) => json<ChangedTableView[]>(`${job(slug)}/changed?${new URLSearchParams({ from, to })}`),
  why: (slug: string, table: string, row: number, column: number) =>
    json<string[]>(`${job(slug)}/why?${new URLSearchParams({ table, row: String(row), column: String(column) })}`),
  statistics: (slug: string, recording: number, signals: readonly string[], fromS: number, toS: number, cursorS: number | undefined) =>
    json<StatisticsView[]>(
      `${job(slug)}/recordings/${recording}/statistics?${new URLSearchParams({ signals: signals.join(","), from: String(fromS), to: String(toS), ...(cursorS === undefined ? {} : { at: String(cursorS) }) })}`,
    ),
  signature: (slug: string) => json<SignatureView>(`${job(slug)}/signature`),
  keepSignature: (slug: string) => post<SignatureView>(`${job(slug)}/signature`, {}),
  comeback: (slug: string) => json<ComebackView | null>(`${job(slug)}/comeback`),
  pulls: (slug: string, units: string) => json<PullsView>(`${job(slug)}/pulls?units=${units}`),
  costsHref: (slug: string) => `${job(slug)}/costs`,
  reportHref: (slug: string, kind: string, units: string) => `${job(slug)}/report?kind=${kind}&units=${units}`,

  /** Float32 blocks of a window of traces: least values, then greatest, for each signal. */
  async window(
    slug: string,
    recording: number,
    ask: { signals: readonly string[]; fromS: number; toS: number; width: number },
    signal?: AbortSignal,
  ): Promise<Float32Array> {
    const query = new URLSearchParams({ signals: ask.signals.join(","), from: String(ask.fromS), to: String(ask.toS), width: String(ask.width) });
    const response = await checked(await fetch(`${job(slug)}/recordings/${recording}/window?${query}`, { signal }));
    return new Float32Array(await response.arrayBuffer());
  },

  /** Float32 blocks of the operating map: time, engine speed, pressure, colour. */
  async map(slug: string, recording: number, colour: string, most: number): Promise<Float32Array> {
    const response = await checked(await fetch(`${job(slug)}/recordings/${recording}/map?${new URLSearchParams({ colour, most: String(most) })}`));
    return new Float32Array(await response.arrayBuffer());
  },

  guide: (slug: string) => json<GuideView | null>(`${job(slug)}/guide`),
  watch: () => json<WatchView>("/api/watch"),
  watchFolder: (folder: string) => post<WatchView>("/api/watch", { folder }),

  /** Follows a recording while it is written; without a name the newest. Ends by the function it returns. */
  follow(slug: string, file: string | undefined, heard: (view: HeardView) => void, lost: () => void): () => void {
    const source = new EventSource(`${job(slug)}/follow${file === undefined ? "" : `?${new URLSearchParams({ file })}`}`);
    source.addEventListener("heard", (event) => heard(JSON.parse(event.data)));
    source.onerror = lost;
    return () => source.close();
  },

  /** Makes or fetches a job's analysis; progress is told while it is made. */
  analysis(slug: string, onProgress: (progress: { text: string; share: number }) => void): Promise<AnalysisView> {
    return new Promise((resolve, reject) => {
      const source = new EventSource(`${job(slug)}/analysis`);
      const end = (): void => source.close();
      source.addEventListener("progress", (event) => onProgress(JSON.parse(event.data)));
      source.addEventListener("answer", (event) => {
        end();
        resolve(JSON.parse(event.data));
      });
      source.addEventListener("problem", (event) => {
        end();
        reject(new Refused(JSON.parse(event.data)));
      });
      source.onerror = () => {
        end();
        reject(new Refused({ what: "The bench does not answer. Is it still running in its terminal?" }));
      };
    });
  },
};
