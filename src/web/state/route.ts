import { useSyncExternalStore } from "react";

/** Where the person is: `#/`, `#/job/<slug>/<station>`, `#/drive/<slug>`; what follows a `?` belongs to the station. */
export interface Route {
  readonly page: "board" | "job" | "drive";
  readonly slug: string;
  readonly station: string;
  readonly query: URLSearchParams;
}

function parse(hash: string): Route {
  const [path = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
  const [page, slug = "", station = "intake"] = path.split("/").map(decodeURIComponent);
  const known = (page === "job" || page === "drive") && slug !== "";
  return { page: known ? page : "board", slug, station, query: new URLSearchParams(query) };
}

let current = parse(location.hash);

function subscribe(changed: () => void): () => void {
  const listen = (): void => {
    current = parse(location.hash);
    changed();
  };
  addEventListener("hashchange", listen);
  return () => removeEventListener("hashchange", listen);
}

export function useRoute(): Route {
  return useSyncExternalStore(subscribe, () => current);
}

export function hrefOf(slug: string, station: string, query: Readonly<Record<string, string>> = {}): string {
  const tail = new URLSearchParams(query).toString();
  return `#/job/${encodeURIComponent(slug)}/${station}${tail === "" ? "" : `?${tail}`}`;
}

export function go(href: string): void {
  location.hash = href.replace(/^#/, "");
}
