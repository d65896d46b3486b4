import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { readJob } from "../../book/index.ts";
import type { Packet } from "../../core/job/index.ts";
import { analysePull, compareRevisions, type PullAnalysis, repeatability } from "../../core/pulls/index.ts";
import { lookUpCurve } from "../../core/tables/index.ts";
import { loadJob } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, page, wrapped } from "../text.ts";

interface PullsOptions {
  readonly standard?: string;
}

export function addPulls(program: Command): void {
  bookCommand<PullsOptions>(
    program,
    {
      usage: "pulls <job>",
      about: "Power and torque of the sweeps, how well they repeat, and whether a gain between revisions is real",
      args: { job: "short name of the job" },
      examples: ["fettle pulls wagon-no-power", "fettle pulls wagon-no-power --standard iso-1585 --json"],
      notes: `Before a sweep: tie-downs, tyres, fans, exhaust extraction, fire extinguisher, hearing protection, and one person who
stops it. The rules of the facility go before this list.`,
    },
    ({ book, args: [job], options }) => {
      const byRevision = revisionsWithSweeps(readJob(book, job!).state.files).map((revision) => {
        const { packet } = loadJob(book, job!, { revision });
        return {
          revision,
          sweeps: packet.pulls.map((sweep) =>
            reckoned(() => analysePull(sweep, { intake: packet.intake, standard: options.standard, fullLoadLambda: fullLoadLambdaOf(packet) })),
          ),
        };
      });
      const gains = byRevision.slice(1).map(({ revision, sweeps }, i) => ({
        from: byRevision[i]!.revision,
        to: revision,
        comparison: compareRevisions(byRevision[i]!.sweeps, sweeps),
      }));
      const json = byRevision.map(({ revision, sweeps }) => ({
        revision,
        sweeps: sweeps.map(({ file, result, events, couldNot, remarks }) => ({ file, result, events, couldNot, remarks })),
        repeatability: repeatability(sweeps),
      }));
      return {
        json: { revisions: json, gains },
        text:
          byRevision.length === 0
            ? "The job holds no sweeps. Bring them: fettle add JOB SWEEP.csv --as sweep\n"
            : page(
                ...byRevision.map(({ revision, sweeps }) =>
                  block(revision === 0 ? "As received" : `Revision ${revision}`, [...sweeps.map(sweepText), wrapped(repeatability(sweeps).summary, 4, 2)]),
                ),
                block(
                  "Gains",
                  gains.map(({ from, to, comparison }) => wrapped(`${from} to ${to}: ${comparison.summary}`, 4, 2)),
                ),
              ),
      };
    },
  ).option("--standard <id>", "power standard (docs/power-standards.md); left out: SAE J1349");
}

function revisionsWithSweeps(files: readonly { readonly path: string; readonly revision?: number }[]): number[] {
  const numbers = files.filter((file) => file.path.startsWith("pulls/")).map((file) => file.revision ?? 0);
  return [...new Set(numbers)].sort((a, b) => a - b);
}

function reckoned(work: () => PullAnalysis): PullAnalysis {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new UnusableInput({ at: { file: "--standard" }, what: error.message, do: "Take one of docs/power-standards.md" });
  }
}

function sweepText({ file, result, events, couldNot }: PullAnalysis): string {
  if (result === undefined) return wrapped(`${file}: ${couldNot.join("; ")}`, 4, 2);
  const { peakPowerKw, peakPowerRpm, peakTorqueNm, peakTorqueRpm, standard, factor, ambient } = result;
  const air = ambient === undefined ? "" : `, ${ambient.pressureKpa} kPa, ${ambient.temperatureC} °C, ${ambient.relativeHumidityPercent} % (${ambient.source})`;
  return [
    wrapped(
      `${file}: ${peakPowerKw.toFixed(1)} kW at ${Math.round(peakPowerRpm)} rpm, ${peakTorqueNm.toFixed(0)} Nm at ${Math.round(peakTorqueRpm)} rpm; ${standard}, factor ${factor.toFixed(4)}${air}`,
      4,
      2,
    ),
    ...events.map((event) => wrapped(`${event.isStop ? "STOP: " : ""}${event.text}`, 6, 4)),
  ].join("\n");
}

/** Lambda that the tables in the controller ask for at full load, by engine speed. */
function fullLoadLambdaOf({ asReceived }: Packet): ((rpm: number) => number) | undefined {
  const table = asReceived?.byRole["fuel.full-load-ratio"];
  return table && ((rpm) => 1 / lookUpCurve(table, rpm));
}
