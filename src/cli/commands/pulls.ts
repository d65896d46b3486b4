import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import type { PullAnalysis } from "../../core/pulls/index.ts";
import type { PullResult } from "../../core/result/index.ts";
import { pullsOfJob } from "../../desk/index.ts";
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
      examples: [
        "fettle pulls wagon-no-power",
        "fettle pulls wagon-no-power --standard iso-1585 --json",
        "fettle intake wagon-no-power dynamometer.standard=iso-1585 dynamometer.coastDown=coast-down.csv",
      ],
      notes: `Before a sweep: tie-downs, tyres, fans, exhaust extraction, fire extinguisher, hearing protection, and one person who
stops it. The rules of the facility go before this list.`,
    },
    ({ book, args: [job], options }) => {
      const { revisions, gains } = reckoned(() => pullsOfJob(book, job!, options.standard));
      const json = revisions.map(({ revision, name, pulls, repeatability }) => ({
        revision,
        name,
        sweeps: pulls.map(({ file, result, events, couldNot, remarks, samples }) => ({
          file,
          result,
          driveline: samples?.driveline,
          events,
          couldNot,
          remarks,
        })),
        repeatability,
      }));
      if (revisions.length === 0)
        return { json: { revisions: json, gains }, text: "The job holds no sweeps. Bring them: fettle add JOB SWEEP.csv --as sweep\n" };
      return {
        json: { revisions: json, gains },
        text: page(
          ...revisions.map(({ revision, pulls, repeatability }) =>
            block(revision === 0 ? "As received" : `Revision ${revision}`, [
              ...pulls.map(sweepText),
              ...sharedLines(pulls),
              wrapped(repeatability.summary, 4, 2),
            ]),
          ),
          block(
            "Gains",
            gains.map(({ from, to, comparison }) => wrapped(`${from} to ${to}: ${comparison.summary}`, 4, 2)),
          ),
          ...stopCaution(revisions.flatMap(({ pulls }) => pulls)),
        ),
      };
    },
  ).option("--standard <id>", "power standard (docs/power-standards.md); left out: the intake sheet's, else SAE J1349");
}

function reckoned<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new UnusableInput({ at: { file: "--standard" }, what: error.message, do: "Take one of docs/power-standards.md" });
  }
}

/** What every sweep of a calibration was reckoned with, said once. */
function sharedLines(pulls: readonly PullAnalysis[]): string[] {
  const results = pulls.flatMap(({ result }) => (result === undefined ? [] : [result]));
  const remarks = (results[0]?.remarks ?? []).filter((line) => results.every((result) => result.remarks?.includes(line) === true));
  return remarks.map((line) => wrapped(line, 6, 4));
}

function stopCaution(pulls: readonly PullAnalysis[]): string[] {
  if (!pulls.some(({ events }) => events.some((event) => event.isStop))) return [];
  return [block("Before the next sweep", [wrapped("A moment marked STOP was seen: no further pull before its cause is known.", 4, 2)])];
}

function sweepText({ file, result, events, couldNot, samples }: PullAnalysis): string {
  if (result === undefined) return wrapped(`${file}: ${couldNot.join("; ")}`, 4, 2);
  const { peakPowerKw, peakPowerRpm, peakTorqueNm, peakTorqueRpm, standard, factor, ambient } = result;
  const air = ambient === undefined ? "" : `, ${ambient.pressureKpa} kPa, ${ambient.temperatureC} °C, ${ambient.relativeHumidityPercent} % (${ambient.source})`;
  return [
    wrapped(
      `${file}: ${peakPowerKw.toFixed(1)} kW at ${Math.round(peakPowerRpm)} rpm, ${peakTorqueNm.toFixed(0)} Nm at ${Math.round(peakTorqueRpm)} rpm; ${standard}, factor ${factor.toFixed(4)}${air}`,
      4,
      2,
    ),
    ...[result.smoothing, result.beyondLimits, result.flywheel && flywheelText(result.flywheel), drivelineText(samples)]
      .filter((line) => line !== undefined)
      .map((line) => wrapped(line, 6, 4)),
    ...events.map((event) => wrapped(`${event.isStop ? "STOP: " : ""}${event.text}`, 6, 4)),
  ].join("\n");
}

function flywheelText({ peakPowerKw, peakTorqueNm, basis }: NonNullable<PullResult["flywheel"]>): string {
  return `at the flywheel about ${peakPowerKw.toFixed(0)} kW and ${peakTorqueNm.toFixed(0)} Nm; ${basis}`;
}

/** Gear and axle as the speeds tell them, held against the intake sheet. */
function drivelineText(samples: PullAnalysis["samples"]): string | undefined {
  const { gear, axleRatio, listedAxleRatio } = samples?.driveline ?? {};
  if (gear === undefined || axleRatio === undefined || listedAxleRatio === undefined) return undefined;
  return `gear ${gear} and axle ratio ${axleRatio.toFixed(2)} by engine and roller speed; the intake sheet says ${listedAxleRatio}`;
}
