import { type KeyboardEvent, useState } from "react";
import { RELIEF_VIEW, type ReliefSpec, relief } from "../../drawing/index.ts";
import { isWideScreen } from "./wide-screen.ts";

export interface Surface extends Omit<ReliefSpec, "caption" | "view" | "widthPx" | "heightPx"> {
  readonly name: string;
}

const TURNS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-15, 0],
  ArrowRight: [15, 0],
  ArrowUp: [0, 10],
  ArrowDown: [0, -10],
};

/**
 * Shapes of a table in three dimensions, one behind the other, turned together: with the arrow keys when it has the focus, with the
 * buttons, or by dragging. Never the only picture.
 */
export function ReliefView({ surfaces }: { surfaces: readonly Surface[] }) {
  const [shown, setShown] = useState(1);
  const [view, setView] = useState(RELIEF_VIEW);
  const surface = surfaces[shown] ?? surfaces[0]!;
  const turn = (turnDeg: number, tiltDeg: number): void =>
    setView((old) => ({ turnDeg: old.turnDeg + turnDeg, tiltDeg: Math.min(85, Math.max(5, old.tiltDeg + tiltDeg)) }));
  const onKey = (event: KeyboardEvent): void => {
    const by = TURNS[event.key];
    if (by === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    turn(by[0], by[1]);
  };
  const { name, ...spec } = surface;
  const picture = relief({ ...spec, caption: "", view, widthPx: isWideScreen() ? 960 : 700, heightPx: 360 });
  return (
    <div className="relief">
      <div className="segments" role="radiogroup" aria-label="Surface">
        {surfaces.map((one, i) => (
          <label key={one.id}>
            <input type="radio" name="surface" checked={shown === i} onChange={() => setShown(i)} />
            <span>{one.name}</span>
          </label>
        ))}
      </div>
      <figure className="figure-block">
        {/* biome-ignore lint/a11y/useSemanticElements: a picture that takes keys; no element says so. */}
        <div
          role="group"
          // biome-ignore lint/a11y/noNoninteractiveTabindex: it is turned by its arrow keys, so it must take the focus.
          tabIndex={0}
          aria-label={`${name}: turn with the arrow keys`}
          onKeyDown={onKey}
          onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
          onPointerMove={(event) => {
            if (event.buttons === 1) turn(event.movementX * 0.5, event.movementY * 0.4);
          }}
          // biome-ignore lint/security/noDangerouslySetInnerHtml: drawn by the drawing room, which escapes every name.
          dangerouslySetInnerHTML={{ __html: picture.svg }}
        />
        <figcaption>
          {name}. For its shape only; the figures stand below.
          <span className="turns">
            {(
              [
                ["Turn left", "ArrowLeft", "←"],
                ["Turn right", "ArrowRight", "→"],
                ["From higher", "ArrowUp", "↑"],
                ["From lower", "ArrowDown", "↓"],
              ] as const
            ).map(([title, key, sign]) => (
              <button key={key} type="button" aria-label={title} title={title} onClick={() => turn(TURNS[key]![0], TURNS[key]![1])}>
                {sign}
              </button>
            ))}
          </span>
        </figcaption>
      </figure>
    </div>
  );
}
