import { useEffect, useState } from "react";
import type { RecordingView, StatisticsView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { useUnits } from "../state/units.ts";
import type { Span } from "./use-window.ts";

/** Statistics of the chosen span, else of all that is in sight; also what a screen reader reads of the traces. */
export function StatisticsTable(props: {
  readonly slug: string;
  readonly recording: RecordingView;
  readonly signals: readonly string[];
  readonly span: Span;
  readonly isChosen: boolean;
  readonly atCursor: ReadonlyMap<string, number>;
}) {
  const { slug, recording, span } = props;
  const units = useUnits();
  const [rows, setRows] = useState<readonly StatisticsView[]>([]);
  const names = props.signals.join(",");
  useEffect(() => {
    if (names === "") return setRows([]);
    // While a pan goes on nobody reads figures; they follow when it rests.
    const timer = setTimeout(() => {
      client.statistics(slug, recording.index, names.split(","), span.fromS, span.toS, undefined).then(setRows, () => setRows([]));
    }, 80);
    return () => clearTimeout(timer);
  }, [slug, recording.index, names, span.fromS, span.toS]);
  const figures = rows.map((row) => {
    const signal = recording.signals.find((one) => one.id === row.id);
    const unit = units(signal?.unit ?? "");
    const size = unit.show(1) - unit.show(0);
    const show = (value: number | null | undefined): string => (value === null || value === undefined ? "–" : tidy(unit.show(value)));
    const difference = (value: number | null): string => (value === null ? "–" : tidy(value * size));
    return {
      id: row.id,
      name: `${signal?.name ?? row.id}${PLAIN_UNITS.includes(unit.unit) ? "" : ` [${unit.unit}]`}`,
      cells: [show(props.atCursor.get(row.id)), show(row.mean), difference(row.sd), show(row.least), show(row.greatest), difference(row.slopePerS)],
    };
  });
  const copy = (): void => {
    const lines = [["signal", ...HEADS].join("\t"), ...figures.map(({ name, cells }) => [name, ...cells].join("\t"))];
    void navigator.clipboard.writeText(lines.join("\n"));
  };
  return (
    <div className="statistics-block">
      <table className="figures statistics">
        <caption>
          {props.isChosen ? "The chosen span" : "All in sight"}, {span.fromS.toFixed(1)} to {span.toS.toFixed(1)} s
        </caption>
        <thead>
          <tr>
            <th scope="col">Signal</th>
            {HEADS.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {figures.map(({ id, name, cells }) => (
            <tr key={id}>
              <th scope="row">{name}</th>
              {cells.map((cell, i) => (
                <td key={HEADS[i]}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <button type="button" onClick={copy}>
        Copy the table
      </button>
    </div>
  );
}

const HEADS = ["At cursor", "Mean", "Deviation", "Least", "Greatest", "Slope a second"];

/** Units that say nothing beside a figure. */
const PLAIN_UNITS: readonly string[] = ["", "-", "lambda", "0/1"];

/** Four figures, three below a hundredth: what an eye can use. */
function tidy(value: number): string {
  const size = Math.abs(value);
  const text = size >= 1000 ? Math.round(value).toString() : Number(value.toPrecision(size < 0.01 ? 2 : 4)).toString();
  return text.replace("-", "−");
}
