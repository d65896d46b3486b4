/** Ends of the small scale for errors about zero [share, or g/s]: room for all of them, and for what counts as right. */
export function reachOf(errors: readonly (number | null)[], tolerances: readonly number[]): number {
  const known = errors.filter((value) => value !== null).map(Math.abs);
  return 1.08 * Math.max(...tolerances.map((tolerance) => 2 * tolerance), ...known);
}

const [WIDTH, HEIGHT] = [180, 26];

/** An error before (ring), as promised (dot) and as seen (diamond) about zero, with what counts as right tinted. The figures stand beside it. */
export function ErrorMarks(props: {
  readonly before: number | null;
  readonly predicted: number | null;
  readonly observed: number | null;
  readonly tolerance: number;
  readonly reach: number;
}) {
  const { before, predicted, observed, tolerance, reach } = props;
  const x = (value: number): number => WIDTH / 2 + (Math.min(reach, Math.max(-reach, value)) / reach) * (WIDTH / 2 - 8);
  const middle = HEIGHT / 2;
  return (
    <svg className="error-marks" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} width={WIDTH} height={HEIGHT} aria-hidden="true">
      <rect className="right" x={x(-tolerance)} y="3" width={x(tolerance) - x(-tolerance)} height={HEIGHT - 6} />
      <path className="zero" d={`M${WIDTH / 2} 1V${HEIGHT - 1}`} />
      {before !== null && predicted !== null && <path className="way" d={`M${x(before)} ${middle}H${x(predicted)}`} />}
      {before !== null && <circle className="was" cx={x(before)} cy={middle} r="5" />}
      {predicted !== null && <circle className="promised" cx={x(predicted)} cy={middle} r="4.5" />}
      {observed !== null && <path className="seen" d={`M${x(observed)} ${middle - 8}l8 8l-8 8l-8 -8Z`} />}
    </svg>
  );
}

/** "+3.1 %" or "−0.12 g/s"; a dash where nothing is known. */
export function errorText(value: number | null, unit: "share" | "g/s"): string {
  if (value === null) return "–";
  const shown = unit === "share" ? 100 * value : value;
  const digits = unit === "share" ? 1 : 2;
  const size = Math.abs(shown).toFixed(digits);
  return Number(size) === 0 ? size : `${shown < 0 ? "−" : "+"}${size}`;
}
