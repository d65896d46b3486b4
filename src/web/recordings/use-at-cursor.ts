import { useEffect, useRef, useState } from "react";
import { client } from "../state/client.ts";

/** Values of signals at the cursor, canonical units: the last sample at or before it. Of many asks in a row only the last is answered. */
export function useAtCursor(slug: string, recording: number, signals: readonly string[], cursorS: number | undefined): ReadonlyMap<string, number> {
  const [values, setValues] = useState<ReadonlyMap<string, number>>(new Map());
  const busy = useRef(false);
  const wanted = useRef<() => Promise<void>>(undefined);
  const names = signals.join(",");
  useEffect(() => {
    if (cursorS === undefined || names === "") return;
    wanted.current = async () => {
      const rows = await client.statistics(slug, recording, names.split(","), cursorS, cursorS, cursorS);
      setValues(new Map(rows.flatMap((row): [string, number][] => (row.at === null ? [] : [[row.id, row.at]]))));
    };
    if (busy.current) return;
    busy.current = true;
    void (async () => {
      while (wanted.current !== undefined) {
        const next = wanted.current;
        wanted.current = undefined;
        await next().catch(() => undefined);
      }
      busy.current = false;
    })();
  }, [slug, recording, names, cursorS]);
  return values;
}
