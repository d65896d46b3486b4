import { useState } from "react";
import { RELIEF_VIEW, relief } from "../../drawing/index.ts";
import { Figure } from "../widgets/picture.tsx";

export interface Surface {
  readonly id: string;
  readonly title: string;
  readonly caption: string;
  readonly x: { readonly name: string; readonly unit: string; readonly values: readonly number[] };
  readonly y: { readonly name: string; readonly unit: string; readonly values: readonly number[] };
  readonly value: { readonly name: string; readonly unit: string };
  readonly cells: Float64Array;
}

/** The shape of a table in three dimensions: turned with the arrow keys, with the buttons, or by dragging. Never the only picture. */
export function ReliefView({ surface }: { surface: Surface }) {
  const [view, setView] = useState(RELIEF_VIEW);
  const turn = (turnDeg: number, tiltDeg: number): void =>
    setView((old) => ({ turnDeg: old.turnDeg + turnDeg, tiltDeg: Math.min(85, Math.max(5, old.tiltDeg + tiltDeg)) }));
  const picture = relief({ ...surface, view, widthPx: 640, heightPx: 400 });
  return (
    <div
      className="relief"
      onPointerMove={(event) => {
        if (event.buttons === 1) turn(event.movementX * 0.5, event.movementY * 0.4);
      }}
    >
      <Figure picture={picture} />
      <div className="actions">
        {(
          [
            ["Turn left", -15, 0],
            ["Turn right", 15, 0],
            ["From higher", 0, 10],
            ["From lower", 0, -10],
          ] as const
        ).map(([name, by, tilt]) => (
          <button key={name} type="button" onClick={() => turn(by, tilt)}>
            {name}
          </button>
        ))}
      </div>
    </div>
  );
}
