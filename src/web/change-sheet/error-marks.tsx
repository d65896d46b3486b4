/** Ends of the small scale [share, or g/s]. */
export interface MarkScale {
  readonly reach: number;
  readonly tolerance: number;
}

export function scaleFor(errors: readonly (number | null)[], unit: "share" | "g/s"): MarkScale {
  const known = errors.filter((value) => value !== null).map(Math.abs);
  const least = unit === "share" ? 0.06 : 0.6;
  return { reach: Math.max(least, ...known) * 1.08, tolerance: unit === "share" ? 0.03 : 0.2 };
}

const [WIDTH, HEIGHT] = [180, 26];

/** An error before (ring), as promised (dot) and as seen (diamond) about zero, with what counts as right tinted. The figures stand beside it. */
export function ErrorMarks(props: {
  readonly before: number | null;
  readonly predicted: number | null;
  readonly observed: number | null;
  readonly scale: MarkScale;
}) {
  const { before, predicted, observed, scale } = props;
  const x = (value: number): number => WIDTH / 2 + (Math.min(scale.reach, Math.max(-scale.reach, value)) / scale.reach) * (WIDTH / 2 - 8);
  const middle = HEIGHT / 2;
  return (
    <svg className="error-marks" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} width={WIDTH} height={HEIGHT} aria-hidden="true">
      <rect className="right" x={x(-scale.tolerance)} y="3" width={x(scale.tolerance) - x(-scale.tolerance)} height={HEIGHT - 6} />
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
  return `${shown < 0 ? "−" : "+"}${Math.abs(shown).toFixed(digits)}`;
}
