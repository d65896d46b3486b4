import type { Context } from "hono";

/** What a body that does not fit its schema is answered with: the same shape as every other problem. */
export function refuseBadBody(
  result: { readonly success: boolean; readonly error?: { readonly issues: readonly { readonly path: readonly PropertyKey[]; readonly message: string }[] } },
  context: Context,
): Response | undefined {
  if (result.success) return undefined;
  const issue = result.error?.issues[0];
  return context.json(
    {
      problem: {
        what: `${issue?.path.map(String).join(".") || "The request"}: ${issue?.message ?? "not understood"}`,
        do: "Correct the entry and send it again.",
      },
    },
    400,
  );
}
