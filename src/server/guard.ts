import { timingSafeEqual } from "node:crypto";
import type { MiddlewareHandler } from "hono";

const COOKIE = "fettle-token";

/**
 * Keeps strangers out of the local server. A page of another origin can reach a loopback port (by a plain form, an image, or a
 * name that resolves to 127.0.0.1), so each request must name our own host, writes must come from our own origin, and every
 * request must carry the token that the launching process handed to the browser.
 */
export function guard(options: { readonly token: string; readonly port: () => number }): MiddlewareHandler {
  return async (context, next) => {
    const url = new URL(context.req.url);
    const host = context.req.header("host") ?? "";
    const ours = [`127.0.0.1:${options.port()}`, `localhost:${options.port()}`, `[::1]:${options.port()}`];
    if (!ours.includes(host)) return refuse("This address does not belong to the bench.");
    const origin = context.req.header("origin");
    if (origin !== undefined && !ours.some((name) => origin === `http://${name}`)) return refuse("Another page may not speak to the bench.");
    const site = context.req.header("sec-fetch-site");
    const isOpening = context.req.method === "GET" && url.pathname === "/" && url.searchParams.has("token");
    if (site !== undefined && site !== "same-origin" && site !== "none" && !isOpening) return refuse("Another page may not speak to the bench.");
    if (isOpening && sameText(url.searchParams.get("token") ?? "", options.token)) {
      // The token leaves the address bar at once, so that it is not kept in the browser's history or a screenshot.
      return new Response(null, {
        status: 303,
        headers: { location: "/", "set-cookie": `${COOKIE}=${options.token}; HttpOnly; SameSite=Strict; Path=/` },
      });
    }
    const given = context.req.header("x-fettle-token") ?? cookieOf(context.req.header("cookie") ?? "");
    if (!sameText(given, options.token)) return refuse("Open the bench by the address that the start command printed.");
    await next();
    for (const [name, value] of Object.entries(SECURITY_HEADERS)) context.res.headers.set(name, value);
  };
}

const SECURITY_HEADERS = {
  "content-security-policy":
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; worker-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'",
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-resource-policy": "same-origin",
} as const;

function refuse(text: string): Response {
  return new Response(JSON.stringify({ problem: { what: text } }), { status: 403, headers: { "content-type": "application/json" } });
}

function cookieOf(header: string): string {
  for (const part of header.split(";")) {
    const [name, value] = part.trim().split("=");
    if (name === COOKIE) return value ?? "";
  }
  return "";
}

function sameText(a: string, b: string): boolean {
  const left = Buffer.from(a);
  const right = Buffer.from(b);
  return left.length === right.length && timingSafeEqual(left, right);
}
