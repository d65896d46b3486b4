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
  const system: UnitSystem = board?.units.all === "imperial" ? "imperial" : "metric";
  const changeUnits = (next: UnitSystem): void => {
    client.bookEvent("units.preferred", { quantity: "all", unit: next }).then(refresh, (error: Error) => setProblem(error.message));
  };
  return (
    <UnitsContext.Provider value={{ system, change: changeUnits, chosen: board?.units ?? {} }}>
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
