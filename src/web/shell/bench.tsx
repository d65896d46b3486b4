import { lazy, Suspense, useEffect, useState } from "react";
import type { BoardView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { useRoute } from "../state/route.ts";
import { type UnitSystem, UnitsContext } from "../state/units.ts";
import { Board } from "./board.tsx";
import { JobPage } from "./job-page.tsx";
import { KeyHelp, useKeys } from "./keys.tsx";

const DrivePage = lazy(() => import("../drive/drive-page.tsx"));

/** The whole bench: the board of jobs, or one job at one of its stations. */
export function Bench() {
  const route = useRoute();
  const [board, setBoard] = useState<BoardView>();
  const [problem, setProblem] = useState<string>();
  const [helpShown, setHelpShown] = useState(false);
  const refresh = (): void => {
    client.board().then(setBoard, (error: Error) => setProblem(error.message));
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: the board is read again whenever the person comes back to it.
  useEffect(refresh, [route.page]);
  const isMaking = board?.book.making !== undefined && board.book.making.share < 1;
  // While the demo's vehicles are still being made, they come onto the board one by one.
  // biome-ignore lint/correctness/useExhaustiveDependencies: only the beginning and the end of the making matter.
  useEffect(() => {
    if (!isMaking || route.page !== "board") return;
    const timer = setInterval(refresh, 1000);
    return () => clearInterval(timer);
  }, [isMaking, route.page]);
  const changeBook = (which: "own" | "demo"): void => {
    client.openBook(which).then(
      () => {
        setBoard(undefined);
        refresh();
      },
      (error: Error) => setProblem(error.message),
    );
  };
  useKeys({ "?": () => setHelpShown((shown) => !shown) });
  const system: UnitSystem = board?.units.system === "imperial" ? "imperial" : "metric";
  const choose = async (...choices: (readonly [quantity: string, unit: UnitSystem])[]): Promise<void> => {
    try {
      for (const [quantity, unit] of choices) await client.bookEvent("units.preferred", { quantity, unit });
      refresh();
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  };
  /** A choice for everything takes the single ones along. */
  const changeUnits = (next: UnitSystem): void => {
    const single = Object.keys(board?.units ?? {}).filter((quantity) => quantity !== "system" && board?.units[quantity] !== next);
    void choose(["system", next], ...single.map((quantity) => [quantity, next] as const));
  };
  return (
    <UnitsContext.Provider value={{ system, change: changeUnits, choose: (unit, next) => void choose([unit, next]), chosen: board?.units ?? {} }}>
      {problem !== undefined && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      {route.page === "board" && <Board board={board} refresh={refresh} change={changeBook} />}
      {route.page === "job" && <JobPage key={route.slug} route={route} isDemo={board?.book.isDemo ?? false} />}
      {route.page === "drive" && (
        <Suspense>
          <DrivePage key={route.slug} slug={route.slug} />
        </Suspense>
      )}
      {helpShown && <KeyHelp close={() => setHelpShown(false)} />}
    </UnitsContext.Provider>
  );
}
