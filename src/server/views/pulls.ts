import type { PictureView, PullsView } from "../../api/index.ts";
import type { Book } from "../../book/index.ts";
import { readJob } from "../../book/index.ts";
import { BEFORE_A_PULL, POWER_STANDARDS } from "../../core/pulls/index.ts";
import { intakeOf, type PullsOfJob, pullsModelOf } from "../../desk/index.ts";
import type { Picture } from "../../drawing/index.ts";
import { drawPulls } from "../../report/index.ts";

/** A job's sweeps as the station shows them: figures, pictures as the report draws them, and the list before the next pull. */
export function pullsView(book: Book, slug: string, pulls: PullsOfJob, units: "metric" | "imperial"): PullsView {
  const { state } = readJob(book, slug);
  const intake = intakeOf(book, state);
  const model = pullsModelOf(book, slug, pulls);
  const drawn = drawPulls(
    {
      ...model,
      intake: intake ?? { engine: { displacementL: 1, cylinders: 1 } },
      result: { ...NOTHING, pulls: (model.series ?? []).flatMap((one) => one.pulls) },
    },
    units,
  );
  return {
    standards: POWER_STANDARDS.map(({ id, name, title, reference, limits, boosted }) => ({ id, name, title, reference, limits, boosted })),
    standard: pulls.revisions[0]?.pulls[0]?.standard.id ?? intake?.dynamometer?.standard ?? "sae-j1349",
    settings: intake?.dynamometer ?? {},
    boosted: intake?.engine.boosted === true,
    files: state.files.map(({ path }) => path).filter((path) => /^(pulls|recordings)\//.test(path)),
    revisions: pulls.revisions.map((one, i) => ({
      revision: one.revision,
      name: model.series![i]!.name,
      repeats: one.repeatability.summary,
      picture: pictureView(drawn.series[i]),
      sweeps: one.pulls.map(({ file, result, events, couldNot, samples, remarks }) => ({
        file,
        ...(result === undefined ? {} : { result }),
        stops: events.filter((event) => event.isStop).map((event) => event.text),
        watches: events.filter((event) => !event.isStop).map((event) => event.text),
        couldNot,
        remarks,
        ...(samples?.driveline.gear === undefined ? {} : { gear: samples.driveline.gear }),
        ...(samples?.driveline.ratioToListed === undefined ? {} : { ratioToListed: samples.driveline.ratioToListed }),
      })),
    })),
    gains: (model.gains ?? []).map(({ from, to, summary, measures, remarks }, i) => ({
      from,
      to,
      summary,
      measures,
      remarks,
      picture: pictureView(drawn.gains[i]),
    })),
    list: BEFORE_A_PULL,
    checklist: model.checklist ?? [],
  };
}

const NOTHING = { schema: "fettle.result/1", edits: [], findings: [], suspects: [], corrections: [], recordings: [], couldNot: [] } as const;

function pictureView(picture: Picture | undefined): PictureView | null {
  return picture === undefined ? null : { svg: picture.svg, caption: picture.caption };
}
