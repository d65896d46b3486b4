import { useCallback, useEffect, useState } from "react";
import type { AnalysisView, JobView } from "../../api/index.ts";
import { client } from "./client.ts";

export interface UnderWay {
  readonly text: string;
  readonly share: number;
}

/** A job as the stations see it: its state, its analysis when there is one, and the few things that can be done to it. */
export interface JobDesk {
  readonly slug: string;
  readonly job: JobView | undefined;
  readonly analysis: AnalysisView | undefined;
  readonly underWay: UnderWay | undefined;
  readonly problem: string | undefined;
  /** Writes an entry into the journal; the analysis is renewed when an input of it changed. */
  record(kind: string, data: unknown, why?: string): Promise<void>;
  undo(): Promise<void>;
  redo(): Promise<void>;
  cancel(): Promise<void>;
  renew(): Promise<void>;
  dismissProblem(): void;
}

/** Entries after which the analysis no longer fits. */
const CHANGES_ANALYSIS = new Set(["intake.written", "files.withdrawn", "test.observed", "column.named"]);

export function useJob(slug: string): JobDesk {
  const [job, setJob] = useState<JobView>();
  const [analysis, setAnalysis] = useState<AnalysisView>();
  const [underWay, setUnderWay] = useState<UnderWay>();
  const [problem, setProblem] = useState<string>();

  const guarded = useCallback(async (work: () => Promise<void>) => {
    try {
      await work();
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  }, []);

  const analyse = useCallback(
    (current: JobView) =>
      guarded(async () => {
        const canBe =
          current.files.some(({ path }) => /^(calibration|recordings|pulls)\//.test(path)) &&
          (current.intake !== undefined || current.files.some(({ path }) => path === "intake.json"));
        if (!canBe) return setAnalysis(undefined);
        setUnderWay({ text: "opening the job", share: 0 });
        try {
          setAnalysis(await client.analysis(slug, setUnderWay));
          // What is open at the stations follows from the analysis.
          setJob(await client.job(slug));
        } finally {
          setUnderWay(undefined);
        }
      }),
    [slug, guarded],
  );

  const renew = useCallback(
    () =>
      guarded(async () => {
        const fresh = await client.job(slug);
        setJob(fresh);
        await analyse(fresh);
      }),
    [slug, guarded, analyse],
  );

  useEffect(() => {
    setJob(undefined);
    setAnalysis(undefined);
    void renew();
  }, [renew]);

  const after = useCallback(
    async (fresh: JobView, changesAnalysis: boolean) => {
      setJob(fresh);
      if (changesAnalysis) await analyse(fresh);
    },
    [analyse],
  );

  return {
    slug,
    job,
    analysis,
    underWay,
    problem,
    record: (kind, data, why) => guarded(async () => after(await client.event(slug, kind, data, why), CHANGES_ANALYSIS.has(kind))),
    undo: () => guarded(async () => after(await client.undo(slug), true)),
    redo: () => guarded(async () => after(await client.redo(slug), true)),
    cancel: () =>
      guarded(async () => {
        await client.cancel();
        setUnderWay(undefined);
      }),
    renew,
    dismissProblem: () => setProblem(undefined),
  };
}
