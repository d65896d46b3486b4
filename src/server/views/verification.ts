import type { PromiseView, VerificationView, VerifiedRegionView } from "../../api/index.ts";
import type { Verification } from "../../core/job/index.ts";
import type { Promised, verifyJob } from "../../desk/index.ts";

/** A verification as the bench shows it: figures where they are known, null where not. */
export function verificationView(verified: ReturnType<typeof verifyJob>): VerificationView | null {
  if (verified === undefined) return null;
  return { revision: verified.revision, from: verified.from, ...figuresOf(verified.verification) };
}

export function promiseView(promise: Promised): PromiseView {
  return { ...figuresOf(promise), parts: promise.parts };
}

function figuresOf(verification: Verification): Omit<VerificationView, "revision" | "from"> {
  const shown = (value: number): number | null => (Number.isFinite(value) ? value : null);
  return {
    verdict: verification.verdict,
    tables: verification.tables.map(({ role, title, unit, verdict, regions }) => ({
      role,
      title,
      unit,
      verdict,
      regions: regions.map(
        (region): VerifiedRegionView => ({
          region: region.name,
          before: shown(region.before.mean),
          predicted: shown(region.predicted.mean),
          observed: shown(region.observed.mean),
          tolerance: region.tolerance,
          verdict: region.verdict,
        }),
      ),
    })),
    couldNot: verification.couldNot,
  };
}
